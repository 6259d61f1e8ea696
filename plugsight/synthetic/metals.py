"""Bare metal: plated shells with lathe marks, scratches, worn plating, stains and rust; electrodes with heat colours."""

import numpy as np

from plugsight.synthetic.design import PlugDesign
from plugsight.synthetic.noise import Floats, smoothstep
from plugsight.synthetic.skin import Skin
from plugsight.synthetic.state import PlugState
from plugsight.vocabulary.damage import Damage

PLATING: dict[str, tuple[tuple[float, float, float], float, float]] = {
    "zinc": ((0.62, 0.64, 0.67), 0.34, 1.0),
    "nickel": ((0.60, 0.57, 0.52), 0.24, 1.0),
    "brass": ((0.64, 0.50, 0.27), 0.32, 1.0),
    "black": ((0.05, 0.05, 0.055), 0.42, 0.7),
}
"""Linear reflectance, roughness and metallic of each finish (from memory of such surfaces, not measured)."""

HEAT_COLOURS = np.array(
    [
        (0.46, 0.43, 0.39),
        (0.50, 0.38, 0.18),
        (0.36, 0.20, 0.20),
        (0.17, 0.12, 0.34),
        (0.12, 0.20, 0.42),
        (0.26, 0.36, 0.44),
        (0.34, 0.34, 0.35),
    ]
)
"""Oxide colours of heated metal from straw over purple and blue to grey (order common practice, tones from memory)."""


def plated(skin: Skin, design: PlugDesign, state: PlugState) -> None:
    """Dress shell, hexagon or gasket in the shell's finish."""
    colour, roughness, metallic = PLATING[design.finish]
    noise, points = skin.noise, skin.points
    tarnish = noise.fractal(points, 5.0, 201, 0.8)
    blotch = noise.fractal(points, 0.8, 202, 0.95)
    bright = 0.78 + 0.34 * design.finish_tone
    scale = bright * (1 + 0.06 * tarnish + 0.03 * blotch)
    skin.colour[:] = np.array(colour, dtype=np.float32) * np.clip(scale, 0.4, 1.4)[:, None]
    skin.roughness[:] = np.clip(
        roughness * (1.35 - 0.6 * design.finish_tone) + 0.05 * tarnish + 0.03 * blotch, 0.12, 0.8
    )
    skin.metallic[:] = metallic
    lathe = noise.fractal(points * np.array([0.04, 0.04, 1.0], dtype=np.float32), 0.25, 203, 1.3)
    skin.height += (0.0012 + 0.0018 * (1 - design.finish_tone)) * lathe
    skin.roughness += 0.05 * np.abs(lathe)
    scratched(skin, state.scratches)


def scratched(skin: Skin, amount: float) -> None:
    """Fine scratches in three directions, and knocks."""
    rng = np.random.default_rng([skin.noise.seed, 7])
    for k in range(3):
        squeeze = np.ones(3, dtype=np.float32) * 0.25
        squeeze[int(rng.integers(3))] = 1.6
        lines = np.abs(skin.noise.fractal(skin.points * squeeze, 1.6, 210 + k, 0.55))
        somewhere = smoothstep(0.3, 1.2, skin.noise.fractal(skin.points, 3.0, 220 + k) + 1.2 * (amount - 0.5))
        line = (1 - smoothstep(0.0, 0.045, lines)) * somewhere * amount
        skin.tint(0.6 * line, np.minimum(skin.colour * 1.35 + 0.06, 0.8))
        skin.roughness -= 0.1 * line
        skin.height -= 0.006 * line
    knocks = smoothstep(2.5, 3.2, skin.noise.fractal(skin.points, 1.8, 230, 0.6) + 0.6 * amount)
    skin.height -= 0.05 * knocks


def stained(skin: Skin, design: PlugDesign, state: PlugState) -> None:
    """Ordinary stains of a shell that say nothing: dark face, banded thread, polished crests, rust."""
    noise, points, z, r = skin.noise, skin.points, skin.points[:, 2], skin.radius
    cloud = noise.fractal(points, 1.6, 241, 0.9)
    rings = noise.fractal(points * np.array([0.1, 0.1, 1.0], dtype=np.float32), 3.0, 242, 0.8)
    if state.thread_stain > 0.05:
        reach = smoothstep(-14.0, -1.0, z)
        band = smoothstep(0.2, 1.3, rings + 0.5 * cloud + 1.8 * (state.thread_stain - 0.5)) * (
            0.35 + 0.65 * reach
        )
        brown = np.array([0.09, 0.06, 0.04]) + 0.1 * state.face_stain_tone
        skin.tint(band * 0.8 * state.thread_stain, skin.colour * 0.35 + 0.4 * brown, 0.6)
        skin.metallic *= 1 - 0.35 * band
    crest = smoothstep(design.major_diameter_mm / 2 - 0.1, design.major_diameter_mm / 2 - 0.02, r)
    threaded = (z < -design.thread_end_mm) & (z > -design.thread_end_mm - design.thread_length_mm)
    rubbed = crest * smoothstep(-0.8, 0.8, cloud + 1.5 * (state.scratches - 0.5)) * threaded
    skin.tint(0.75 * rubbed, (0.52, 0.51, 0.5), 0.3, 1.0)
    face = smoothstep(-1.0 - 1.5 * state.face_stain, -0.1, z + 0.25 * cloud) * state.face_stain
    bore = (r < design.bore_radius_mm + 0.1) * (0.55 + 0.35 * state.face_stain)
    tones = np.array([(0.018, 0.017, 0.016), (0.09, 0.06, 0.038), (0.2, 0.18, 0.15), (0.05, 0.035, 0.025)])
    tone = tones[min(int(state.face_stain_tone * 4), 3)]
    sooty = np.maximum(face, bore) * np.clip(0.9 + 0.2 * cloud, 0, 1)
    skin.tint(sooty, tone * np.exp(0.25 * noise.fractal(points, 0.4, 243, 1.0))[:, None], 0.85, 0.15)
    rusted(skin, state.rust)


def rusted(skin: Skin, amount: float) -> None:
    """Rust in patches: brown to orange, rough, lifted."""
    if amount <= 0:
        return
    patch = skin.noise.fractal(skin.points, 3.0, 251, 1.0)
    fine = skin.noise.fractal(skin.points, 0.3, 252, 1.2)
    mask = smoothstep(-0.4, 1.2, patch + 0.22 * fine + 2.6 * (amount - 0.6)) * np.clip(
        0.75 + 0.25 * fine, 0.2, 1.0
    )
    orange = smoothstep(-1.5, 2.0, fine + 0.7 * patch)[:, None]
    colour = np.array([0.10, 0.04, 0.02]) * (1 - orange) + np.array([0.24, 0.095, 0.04]) * orange
    skin.tint(mask, np.asarray(colour, dtype=np.float32), 0.95, 0.0)
    skin.height += mask * 0.012 * (1 + fine)


def electrode_metal(skin: Skin, state: PlugState, precious: bool, used: float, hot: Floats) -> None:
    """Nickel alloy or precious wire, browned by ``used`` 0..1 and coloured by heat where ``hot`` (n,) 0..1 says so."""
    noise, points = skin.noise, skin.points
    cloud = noise.fractal(points, 1.0, 261, 0.9)
    fine = noise.fractal(points, 0.25, 262, 1.2)
    new = np.array([0.56, 0.55, 0.53] if precious else [0.52, 0.49, 0.45])
    oxide = np.array([0.20, 0.17, 0.145])
    share = np.clip(used * (0.9 + 0.25 * cloud), 0, 1)[:, None]
    skin.colour[:] = (new * (1 - share) + oxide * share) * (1 + 0.06 * fine)[:, None]
    skin.roughness[:] = np.clip(0.28 + 0.35 * used + 0.05 * cloud + 0.04 * fine, 0.15, 0.9)
    skin.metallic[:] = np.clip(1.0 - 0.45 * share[:, 0], 0, 1)
    skin.height += (0.002 + 0.006 * used) * fine
    blued = state.amount(Damage.BLUED_METAL)
    if blued > 0:
        drift = noise.fractal(points, 3.5, 263, 0.5)
        heat = np.clip(blued * (0.35 + 0.75 * hot) + 0.1 * drift + 0.025 * fine, 0, 1) * (
            len(HEAT_COLOURS) - 1.001
        )
        low = heat.astype(int)
        part = (heat - low)[:, None]
        oxide_colour = HEAT_COLOURS[low] * (1 - part) + HEAT_COLOURS[low + 1] * part
        where = smoothstep(0.08, 0.4, np.asarray(blued * (0.4 + hot), dtype=np.float32))
        skin.tint(0.9 * where, np.asarray(oxide_colour, dtype=np.float32), 0.32, 0.9)
        skin.mark(where > 0.5, Damage.BLUED_METAL)


def sparked(skin: Skin, near: Floats, erosion: float) -> None:
    """Roughen metal where sparks land (``near`` 0..1): craters and beads."""
    pits = skin.noise.fractal(skin.points, 0.35, 271, 1.0)
    skin.height += near * erosion * (0.02 * pits - 0.012)
    skin.roughness += 0.2 * near * erosion
    skin.tint(0.3 * near * erosion, (0.35, 0.33, 0.31))


def melted(skin: Skin, near: Floats, amount: float) -> None:
    """Fuse metal near the gap: lumps and runs, smooth skin."""
    if amount <= 0:
        return
    lump = skin.noise.fractal(skin.points, 1.2, 281, 0.35)
    skin.height += near * amount * (0.16 * lump - 0.1)
    skin.tint(0.7 * near * amount, (0.3, 0.3, 0.32), 0.22, 0.95)
    skin.mark(near * amount > 0.3, Damage.MELTED_ELECTRODE)
