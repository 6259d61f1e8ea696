"""How each deposit looks at given points: one function per kind, all drawing from the layer's own amounts."""

from collections.abc import Callable

import numpy as np

from plugsight.synthetic.noise import smoothstep
from plugsight.synthetic.palettes import tone
from plugsight.synthetic.place import Place
from plugsight.synthetic.skin import Film
from plugsight.vocabulary.deposits import Deposit


def light(at: Place) -> Film:
    """Thin even film, tan to grey; lets the ceramic show through when thin."""
    layer = at.layer
    fine = at.fractal(0.25, 21, 1.1)
    return Film(
        colour=at.colour(0.3, 0.14) * (1 + 0.05 * fine[:, None]),
        roughness=at.full(0.88 - 0.3 * layer.gloss),
        clearcoat=at.full(0.0),
        height=0.004 + 0.004 * layer.thickness * fine,
        opacity=np.clip(0.35 + 0.6 * layer.thickness + 0.12 * at.fractal(0.9, 22), 0.1, 0.97),
    )


def dry_carbon(at: Place) -> Film:
    """Fluffy soot: very dark, matte, clumped at two scales, flaked off in places where thick."""
    layer = at.layer
    clump, fluff = at.fractal(0.7, 31, 0.95), at.fractal(0.22, 32, 1.25)
    cell, own = at.noise.cells(at.points, 0.11 + 0.25 * layer.grain_mm, 33)
    tufts = np.clip(0.75 - cell, 0, 1) * own
    flaked = smoothstep(1.9, 2.3, at.fractal(1.1, 34, 0.9)) * float(layer.thickness > 0.55)
    dust = np.clip(0.5 + 0.35 * clump + 0.25 * fluff, 0, 1.6)
    depth = layer.thickness
    return Film(
        colour=at.colour(0.3, 0.3) * (0.65 + 0.7 * dust[:, None]),
        roughness=np.clip(1.0 - 0.35 * max(layer.gloss - 0.55, 0) + 0.04 * fluff, 0.55, 1.0),
        clearcoat=at.full(0.0),
        height=depth * (0.02 + 0.018 * clump + 0.016 * fluff + 0.05 * tufts) * (1 - 0.8 * flaked),
        opacity=np.clip(0.6 + 0.7 * depth + (0.16 - 0.14 * depth) * clump, 0.3, 0.99) * (1 - 0.75 * flaked),
    )


def wet_oil(at: Place) -> Film:
    """Glossy gum: black to brown, pooled and run down, in places baked dull."""
    layer = at.layer
    stretched = at.points * np.array([1.0, 1.0, 0.35], dtype=np.float32)
    run = at.noise.fractal(stretched, 0.9, 41, 0.6)
    pool = at.fractal(1.6, 42, 0.4)
    drop, own = at.noise.cells(at.points, 0.8, 43)
    drops = np.sqrt(np.clip(0.3 - drop * (0.6 + own), 0, 1)) * (own > 0.55)
    baked = smoothstep(0.6, 1.5, at.fractal(1.2, 44, 0.9) + 1.4 * (0.45 - layer.gloss))
    thick = np.clip(0.55 + 0.35 * pool + 0.3 * run, 0.05, 1.6)
    thin_brown = np.clip(1.3 - thick, 0, 1)[:, None] * (1 - layer.thickness)
    colour = at.colour(0.35, 0.25) * (1 - 0.3 * thin_brown) + thin_brown * np.array([0.05, 0.024, 0.008])
    return Film(
        colour=np.asarray(colour * (1 + 0.8 * baked[:, None]), dtype=np.float32),
        roughness=(0.06 + 0.2 * (1 - layer.gloss)) * (1 - baked) + 0.75 * baked,
        clearcoat=(0.65 + 0.35 * layer.gloss) * (1 - baked),
        height=layer.thickness * (0.02 + 0.022 * pool + 0.015 * run + 0.12 * drops)
        + 0.012 * baked * at.fractal(0.2, 45, 1.1),
        opacity=np.clip(0.76 + 0.3 * layer.thickness + (0.18 - 0.14 * layer.thickness) * pool, 0.45, 1.0),
    )


def wet_fuel(at: Place) -> Film:
    """Clear to brownish wet film: darkens what is below and shines; beads into drops."""
    layer = at.layer
    drop, own = at.noise.cells(at.points, 0.9, 51)
    drops = np.sqrt(np.clip(0.32 - drop * (0.7 + own), 0, 1)) * (own > 0.5)
    stain = tone(
        layer.deposit, at.palette, (layer.hue + 0.3 * layer.mottle * at.fractal(1.5, 52)).astype(np.float32)
    )
    depth = np.clip(0.5 + 0.5 * layer.thickness + 0.2 * at.fractal(1.4, 53, 0.5), 0.2, 1.2)[:, None]
    wetted = at.below ** (1 + 0.25 * depth) * (1 - depth * (1 - stain) * (0.35 + 0.4 * (1 - layer.light)))
    return Film(
        colour=np.asarray(wetted, dtype=np.float32),
        roughness=at.full(0.04 + 0.14 * (1 - layer.gloss)),
        clearcoat=at.full(0.8 + 0.2 * layer.gloss),
        height=layer.thickness * (0.008 + 0.008 * at.fractal(1.2, 54, 0.3) + 0.16 * drops),
        opacity=at.full(1.0),
    )


def ash(at: Place) -> Film:
    """Crust: broken plates with fine crystals and a few large grains, sizes spread over a decade, clustered."""
    layer = at.layer
    warp = np.stack([at.fractal(0.8, s, 0.8) for s in (61, 62, 63)], axis=1) * (0.35 * layer.grain_mm + 0.05)
    warped = np.asarray(at.points + warp, dtype=np.float32)
    cluster = np.clip(0.5 + 0.6 * at.fractal(1.2, 64, 0.9), 0, 1.5)
    height = 0.25 * at.fractal(0.7, 65, 1.0) + 0.14 * at.fractal(0.18, 66, 1.3) + 0.45 * cluster
    grains = np.zeros(len(at.points), dtype=np.float32)
    for k, scale in enumerate((0.45, 1.0, 2.1)):
        cell, own = at.noise.cells(warped, max(0.07, layer.grain_mm * scale), 67 + k)
        there = own < np.clip(0.75 * cluster, 0, 0.9)
        lump = np.clip(1 - cell * (1.2 + 0.9 * own), 0, 1) ** 0.7
        grains = np.maximum(grains, scale**0.8 * lump * there)
    cracked = np.exp(-((at.fractal(0.9, 71, 0.85) / 0.07) ** 2)) * float(layer.thickness > 0.5)
    colour = at.colour(0.4, 0.22) * (0.82 + 0.25 * np.clip(grains, 0, 1.2) - 0.35 * cracked)[:, None]
    high = layer.thickness * (0.1 * height + layer.grain_mm * (0.2 + 0.35 * layer.thickness) * grains)
    return Film(
        colour=np.asarray(colour, dtype=np.float32),
        roughness=np.clip(0.95 - 0.25 * layer.gloss * (grains > 0.4), 0, 1).astype(np.float32),
        clearcoat=at.full(0.0),
        height=np.asarray(np.maximum(high, -0.02) - 0.05 * layer.thickness * cracked, dtype=np.float32),
        opacity=np.clip(0.55 + 0.5 * layer.thickness + 0.25 * (cluster - 0.5), 0.2, 1.0),
    )


def glaze(at: Place) -> Film:
    """Glassy film, yellow to brown, smooth, thicker where it ran; sometimes crazed."""
    layer = at.layer
    run = at.noise.fractal(at.points * np.array([1, 1, 0.45], dtype=np.float32), 1.3, 81, 0.45)
    depth = np.clip(0.35 + 0.55 * layer.thickness + 0.22 * run, 0.08, 1.1)
    crazed = np.exp(-((at.fractal(0.8, 82, 0.8) / 0.035) ** 2)) * float(layer.mottle > 0.6)
    stain = at.colour(0.25, 0.15)
    through = np.clip(depth * (0.75 + 0.3 * layer.light), 0, 0.95)[:, None]
    colour = stain * through + at.below * np.clip(stain * 1.5, 0, 1) ** 0.6 * (1 - through)
    return Film(
        colour=np.asarray(colour * (1 - 0.5 * crazed[:, None]), dtype=np.float32),
        roughness=at.full(0.05 + 0.22 * (1 - layer.gloss) ** 1.5),
        clearcoat=at.full(0.55 + 0.45 * layer.gloss),
        height=np.asarray(layer.thickness * (0.02 + 0.02 * run) - 0.006 * crazed, dtype=np.float32),
        opacity=at.full(1.0),
    )


def chalk_white(at: Place) -> Film:
    """Bleached ceramic: bright, dead matte, faintly sintered."""
    layer = at.layer
    fine = at.fractal(0.2, 91, 1.2)
    return Film(
        colour=np.clip(at.colour(0.4, 0.05) * (1.02 + 0.02 * fine[:, None]), 0, 0.93),
        roughness=at.full(0.98 - 0.3 * layer.gloss**2),
        clearcoat=at.full(0.0),
        height=np.asarray(0.004 * layer.thickness * fine, dtype=np.float32),
        opacity=at.full(0.8 + 0.2 * layer.thickness),
    )


def lead(at: Place) -> Film:
    """Smooth beads and clinker on a grey to yellowish film; glassy at the glossy end."""
    layer = at.layer
    size = 0.16 + 1.1 * layer.grain_mm
    beads = np.zeros(len(at.points), dtype=np.float32)
    for k, scale in enumerate((1.0, 0.5)):
        cell, own = at.noise.cells(at.points, size * scale, 101 + k)
        reach = 0.25 + 0.3 * own
        dome = np.sqrt(np.clip(1 - (cell / reach) ** 2, 0, 1)) * (own > 0.72 - 0.5 * layer.thickness)
        beads = np.maximum(beads, dome * scale * reach)
    film = at.colour(0.35, 0.2)
    grey = tone(Deposit.LEAD, at.palette, at.full(layer.hue * 0.4))
    colour = film + (np.clip(beads * 3, 0, 1)[:, None]) * (grey * (0.8 + 0.6 * layer.light) - film)
    glassy = layer.gloss**2
    return Film(
        colour=np.asarray(colour, dtype=np.float32),
        roughness=np.clip(0.8 - 0.6 * glassy - 0.15 * (beads > 0.05), 0.08, 1).astype(np.float32),
        clearcoat=at.full(0.8 * glassy),
        height=np.asarray(
            layer.thickness * (0.012 + 0.01 * at.fractal(0.5, 103) + 0.9 * size * beads), dtype=np.float32
        ),
        opacity=np.clip(0.5 + 0.5 * layer.thickness + beads, 0.2, 1.0),
    )


def mineral(at: Place) -> Film:
    """Dried coolant or water: tide lines, white to greenish crystals, thin between."""
    layer = at.layer
    level = at.fractal(1.6, 111, 0.7)
    tide = np.exp(-((np.mod(level * (1.2 + 2 * layer.mottle), 1.0) - 0.5) ** 2) / 0.012)
    crystals = np.clip(at.fractal(0.16, 112, 1.35), 0, 3)
    patch = np.clip(0.4 + 0.6 * at.fractal(0.8, 113, 0.95), 0, 1.4)
    bloom = np.clip(0.65 * tide + 0.6 * patch * layer.thickness, 0, 1.3)
    salt = np.clip(0.75 * bloom + 0.15 * crystals - 0.25, 0, 0.85)[:, None]
    crust = at.colour(0.5, 0.2)
    return Film(
        colour=np.asarray(crust * (1 - salt) + salt * np.array([0.7, 0.69, 0.65]), dtype=np.float32),
        roughness=at.full(0.92 - 0.3 * layer.gloss**2),
        clearcoat=at.full(0.0),
        height=np.asarray(layer.thickness * bloom * (0.02 + 0.05 * crystals), dtype=np.float32),
        opacity=np.clip(0.22 + 0.3 * layer.thickness + 0.6 * bloom, 0.1, 1.0),
    )


def grit(at: Place) -> Film:
    """Sand: hard specks, some glassy, on a dusty film over worn ceramic."""
    layer = at.layer
    specks, shiny = np.zeros(len(at.points), np.float32), np.zeros(len(at.points), np.float32)
    hue = at.full(layer.hue)
    for k, scale in enumerate((0.9, 1.7)):
        cell, own = at.noise.cells(at.points, 0.1 + 0.6 * layer.grain_mm * scale, 121 + k)
        there = own < 0.2 + 0.5 * layer.thickness
        corner = np.clip(0.55 - cell * (0.8 + own), 0, 1) * there
        hue = np.where(corner > 0.02, own * 7.0, hue).astype(np.float32)
        specks = np.maximum(specks, corner * scale)
        shiny = np.maximum(shiny, (corner > 0.02) * (np.mod(own * 37, 1) < 0.35))
    film = at.colour(0.2, 0.2)
    grains = tone(layer.deposit, at.palette, hue) * (0.6 + 0.7 * layer.light)
    on = (specks > 0.02).astype(np.float32)
    return Film(
        colour=np.asarray(film + on[:, None] * (grains - film), dtype=np.float32),
        roughness=np.asarray(0.9 - 0.65 * shiny, dtype=np.float32),
        clearcoat=np.asarray(0.7 * shiny, dtype=np.float32),
        height=np.asarray(
            0.16 * specks * (0.5 + layer.grain_mm)
            - 0.015 * layer.thickness * (1 + at.fractal(0.5, 123, 1.1)),
            dtype=np.float32,
        ),
        opacity=np.clip(0.2 + 0.45 * layer.thickness + 0.15 * at.fractal(0.7, 124) + on, 0.05, 1.0),
    )


def red_tint(at: Place) -> Film:
    """Even red to orange film."""
    layer = at.layer
    fine = at.fractal(0.3, 131, 1.1)
    return Film(
        colour=at.colour(0.3, 0.12),
        roughness=at.full(0.9 - 0.35 * layer.gloss),
        clearcoat=at.full(0.0),
        height=np.asarray(0.006 * layer.thickness * fine, dtype=np.float32),
        opacity=np.clip(0.4 + 0.55 * layer.thickness + 0.1 * fine, 0.1, 0.97),
    )


LOOKS: dict[Deposit, Callable[[Place], Film]] = {
    Deposit.LIGHT: light,
    Deposit.DRY_CARBON: dry_carbon,
    Deposit.WET_OIL: wet_oil,
    Deposit.WET_FUEL: wet_fuel,
    Deposit.ASH: ash,
    Deposit.GLAZE: glaze,
    Deposit.CHALK_WHITE: chalk_white,
    Deposit.LEAD: lead,
    Deposit.MINERAL: mineral,
    Deposit.GRIT: grit,
    Deposit.RED_TINT: red_tint,
}
"""Every deposit but bare, which is the ceramic itself."""
