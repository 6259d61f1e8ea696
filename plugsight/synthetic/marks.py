"""Damage on ceramic: blisters, cracks, chips, specks, flashover tracks."""

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from plugsight.synthetic.noise import Floats, smoothstep
from plugsight.synthetic.skin import Skin
from plugsight.vocabulary.damage import Damage


def splats(
    skin: Skin, zone: NDArray[np.float64], count: int, radii_mm: tuple[float, float], salt: int
) -> tuple[Floats, Floats]:
    """Scatter spots of power-law size over the zone's area.

    Returns for each vertex the distance to its nearest spot in units of that spot's radius, and the radius in mm.
    """
    rng = np.random.default_rng([skin.noise.seed, salt])
    at = rng.choice(len(zone), size=count, p=zone / zone.sum())
    low, high = radii_mm
    sizes = low * (1 - rng.random(count) * (1 - (low / high) ** 2)) ** -0.5
    distance, nearest = cKDTree(skin.points[at]).query(skin.points)
    radius = np.asarray(sizes[nearest], dtype=np.float32)
    return np.asarray(distance / radius, dtype=np.float32), radius


def blistered(skin: Skin, zone: NDArray[np.float64], amount: float) -> None:
    """Raise bubbles, some burst."""
    if amount <= 0:
        return
    t, radius = splats(skin, zone, int(6 + 50 * amount), (0.06, 0.1 + 0.28 * amount), 301)
    dome = np.sqrt(np.clip(1 - t**2, 0, 1))
    burst = np.mod(radius * 7919, 1) < 0.3
    rim = np.exp(-(((t - 0.85) / 0.2) ** 2))
    skin.height += radius * np.where(burst, 0.45 * rim - 0.5 * dome, 0.75 * dome)
    inside = t < 1
    skin.tint(0.4 * inside * dome, np.where(burst, 0.35, 0.8)[:, None] * skin.colour, 0.25)
    skin.mark(inside, Damage.BLISTERED_NOSE)


def cracked(skin: Skin, tip: float, amount: float, salt: int) -> None:
    """Draw a dark hairline from the tip down, or (for the larger half of amounts) break a chip off the tip's edge."""
    if amount <= 0:
        return
    rng = np.random.default_rng([skin.noise.seed, salt])
    turn = float(rng.uniform(-np.pi, np.pi))
    below = tip - skin.points[:, 2]
    if rng.random() < 0.55:
        wobble = skin.noise.fractal(skin.points, 1.2, salt, 0.9) * 0.13
        off = np.abs(np.angle(np.exp(1j * (skin.azimuth - turn - 0.1 * below)))) * skin.radius + 0.0
        off = np.abs(off - np.abs(wobble))
        length = 0.8 + 3.0 * amount
        width = 0.016 + 0.03 * amount
        line = (1 - smoothstep(width * 0.5, width * 1.5, off)) * (below < length)
        skin.tint(0.95 * line, (0.03, 0.025, 0.02), 0.9, 0.0, 0.0)
        skin.height -= 0.03 * line
        skin.mark(line > 0.5, Damage.CRACKED_NOSE)
        return
    chipped(skin, tip, turn, 0.4 + 0.8 * amount, Damage.CRACKED_NOSE)


def chipped(skin: Skin, tip: float, turn: float, size_mm: float, damage: Damage) -> None:
    """Break a shell-shaped piece off the tip's edge; the fresh face is white, rough and bare."""
    edge = float(skin.radius[np.abs(skin.points[:, 2] - tip) < 0.25].max())
    middle = np.array([edge * np.cos(turn), edge * np.sin(turn), tip + 0.15 * size_mm], dtype=np.float32)
    away = np.linalg.norm(skin.points - middle, axis=1)
    ragged = size_mm * (1 + 0.1 * skin.noise.fractal(skin.points, 0.6, 321, 0.9))
    inside = away < ragged
    depth = np.where(inside, np.sqrt(np.clip(ragged**2 - away**2, 0, None)) * 0.8, 0.0)
    skin.height -= np.minimum(depth, 0.9).astype(np.float32)
    skin.tint(inside.astype(np.float32), (0.78, 0.76, 0.72), 0.75, 0.0, 0.0)
    skin.deposit[inside] = 255
    skin.mark(inside, damage)


def specked(skin: Skin, zone: NDArray[np.float64], metal: float, pepper: float) -> None:
    """Throw shiny metal specks and dark pepper specks on the nose."""
    if metal > 0:
        t, radius = splats(skin, zone, int(6 + 45 * metal), (0.045, 0.1 + 0.12 * metal), 331)
        on = (1 - smoothstep(0.8, 1.0, t)).astype(np.float32)
        skin.height += radius * 0.6 * np.sqrt(np.clip(1 - t**2, 0, 1))
        skin.tint(on, (0.72, 0.72, 0.73), 0.22, 1.0, 0.0)
        skin.mark(on > 0.5, Damage.METAL_SPECKS)
    if pepper > 0:
        t, _ = splats(skin, zone, int(14 + 100 * pepper), (0.03, 0.07 + 0.06 * pepper), 332)
        on = (1 - smoothstep(0.7, 1.1, t)).astype(np.float32)
        skin.tint(0.92 * on, (0.03, 0.028, 0.026), 0.8, 0.0)
        skin.mark(on > 0.5, Damage.PEPPER_SPECKS)


def tracked(skin: Skin, amount: float) -> None:
    """Burn a flashover track along the outer insulator."""
    if amount <= 0:
        return
    turn = float(np.random.default_rng([skin.noise.seed, 341]).uniform(-np.pi, np.pi))
    wobble = skin.noise.fractal(skin.points, 5.0, 341, 0.8) * 0.5
    off = np.abs(np.angle(np.exp(1j * (skin.azimuth - turn)))) * skin.radius
    width = 0.12 + 0.5 * amount
    line = np.exp(-(((off - np.abs(wobble)) / width) ** 2))
    skin.tint(0.85 * amount * line, (0.06, 0.045, 0.03), 0.6, 0.0, 0.2)
    skin.mark(line * amount > 0.4, Damage.FLASHOVER_TRACK)
