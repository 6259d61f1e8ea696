"""Dress each part: base material, layers of deposit, damage on top, in that order."""

from dataclasses import replace

import numpy as np

from plugsight.synthetic.covers import lay_all, nose_zone_mm
from plugsight.synthetic.design import PlugDesign
from plugsight.synthetic.electrodes import tip_z
from plugsight.synthetic.marks import blistered, chipped, cracked, specked, tracked
from plugsight.synthetic.metals import electrode_metal, melted, plated, rusted, sparked, stained
from plugsight.synthetic.noise import Floats, smoothstep
from plugsight.synthetic.shell import ring_radius
from plugsight.synthetic.skin import Skin
from plugsight.synthetic.state import PlugState
from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit


def use_of(state: PlugState) -> float:
    """How used the metal looks, 0 new .. 1; grows with anything that is not bare."""
    covered = max((la.cover for la in state.layers if la.deposit is not Deposit.BARE), default=0.0)
    return float(np.clip(0.15 + 0.35 * state.erosion + 0.5 * covered * state.face_stain_tone, 0, 1))


def dress_shell(skin: Skin, design: PlugDesign, state: PlugState) -> None:
    """Finish, stains, and the deposits that reach the face and the bore."""
    plated(skin, design, state)
    stained(skin, design, state)
    z, r = skin.points[:, 2], skin.radius
    outer = r > ring_radius(design) - 0.2
    zone = skin.grid.areas() * ((z > -1.2) & (r < ring_radius(design) + 0.05))
    down = np.clip(-z - 0.1, 0, None) * np.where(outer, 1.0, 0.18)
    depth = np.asarray(down / 3.0, dtype=np.float32)
    hold = np.asarray(np.where(outer, 1.6 * np.clip(-z - 0.3, 0, None), 0.0), dtype=np.float32)
    before = skin.height.copy()
    lay_all(skin, state, zone, depth, [la.on_shell for la in state.layers], hold)
    fade = np.where(outer, np.exp(-np.clip(-z - 0.4, 0, None) / 0.8), 1.0)
    skin.height = before + (skin.height - before) * fade.astype(np.float32)


def dress_seat(skin: Skin, design: PlugDesign, state: PlugState) -> None:
    """Hexagon or gasket: finish, rust and grime only; nothing that depends on the deposit."""
    plated(skin, design, state)
    rusted(skin, state.rust)
    grimed(skin, state.grime)


def grimed(skin: Skin, amount: float) -> None:
    """Workshop dirt: brown-black smears."""
    cloud = skin.noise.fractal(skin.points, 7.0, 401, 0.8) + 0.2 * skin.noise.fractal(
        skin.points, 0.8, 402, 1.1
    )
    mask = smoothstep(-0.6, 2.2, cloud + 2.0 * (amount - 0.5)) * amount
    skin.tint(0.75 * mask, (0.05, 0.04, 0.03), 0.7)
    skin.metallic *= 1 - 0.4 * mask


def dress_outer(skin: Skin, design: PlugDesign, state: PlugState) -> None:
    """Glazed white insulator with grime, corona stain at the shell joint, perhaps a flashover track."""
    skin.colour[:] = ceramic_colour(design)
    skin.roughness[:] = 0.22
    skin.clearcoat[:] = 0.8
    top = skin.points[:, 2].max()
    stain = np.exp(-((top - skin.points[:, 2] - 0.8) ** 2) / 1.5) * state.grime
    skin.tint(0.5 * stain, (0.32, 0.24, 0.15))
    grimed(skin, 0.8 * state.grime)
    tracked(skin, state.amount(Damage.FLASHOVER_TRACK))


def ceramic_colour(design: PlugDesign) -> tuple[float, float, float]:
    """White alumina, cool to warm."""
    t = design.ceramic_tone
    return (0.80 + 0.02 * t, 0.81 - 0.015 * t, 0.82 - 0.09 * t)


def dress_nose(skin: Skin, design: PlugDesign, state: PlugState) -> None:
    """Ceramic, blisters, layers, then what broke or was thrown on afterwards."""
    tip, fine = design.nose_tip_z_mm, skin.noise.fractal(skin.points, 0.4, 411, 1.1)
    skin.colour[:] = np.array(ceramic_colour(design)) * (1 + 0.008 * fine)[:, None]
    skin.roughness[:] = 0.38 + 0.02 * fine
    depth = np.asarray((tip - skin.points[:, 2]) / nose_zone_mm(design), dtype=np.float32)
    zone = skin.grid.areas() * (depth < 1)
    blistered(skin, zone, state.amount(Damage.BLISTERED_NOSE))
    lay_all(skin, state, zone, depth, [la.cover for la in state.layers])
    cracked(skin, tip, state.amount(Damage.CRACKED_NOSE), 412)
    missing = state.amount(Damage.MISSING_PIECE)
    if missing > 0:
        turn = float(np.random.default_rng([skin.noise.seed, 413]).uniform(-np.pi, np.pi))
        chipped(skin, tip, turn, 0.8 + 1.0 * missing, Damage.MISSING_PIECE)
    specked(skin, zone, state.amount(Damage.METAL_SPECKS), state.amount(Damage.PEPPER_SPECKS))


def dress_centre(skin: Skin, design: PlugDesign, state: PlugState) -> None:
    """Metal browned and coloured by heat, roughened by sparks, then the layers."""
    top, foot = tip_z(design), design.nose_tip_z_mm
    depth = np.asarray((top - skin.points[:, 2]) / max(top - foot, 0.3), dtype=np.float32)
    near = smoothstep(0.6, 0.0, depth)
    electrode_metal(skin, state, design.electrode == "fine", use_of(state), np.clip(1 - depth, 0, 1))
    sparked(skin, near, state.erosion)
    melted(skin, near, state.amount(Damage.MELTED_ELECTRODE) * min(1.0, design.electrode_diameter_mm / 1.6))
    zone = skin.grid.areas() * (depth < 1)
    lay_all(skin, thinned(state, 0.5), zone, depth, [la.on_electrode for la in state.layers])


def dress_strap(skin: Skin, design: PlugDesign, state: PlugState) -> None:
    """Metal as for the centre electrode; heat runs from the tip."""
    top = float(skin.points[:, 2].max())
    reach = np.asarray(skin.radius / max(ring_radius(design), 1.0), dtype=np.float32)
    hot = np.clip(1.15 - reach, 0, 1)
    height = np.clip(skin.points[:, 2] / max(top, 0.5), 0, 1)
    face = np.array([0.0, 0.0, tip_z(design)], dtype=np.float32)
    apart = np.linalg.norm(skin.points - face, axis=1)
    near: Floats = np.exp(-((apart / (0.9 * max(design.electrode_diameter_mm, 1.0))) ** 2)).astype(np.float32)
    electrode_metal(
        skin, state, precious=False, used=use_of(state), hot=np.asarray(hot * height, dtype=np.float32)
    )
    sparked(skin, near, state.erosion)
    melted(skin, near, state.amount(Damage.MELTED_ELECTRODE))
    zone = skin.grid.areas()
    depth = np.asarray(1 - height, dtype=np.float32)
    lay_all(skin, thinned(state, 0.8), zone, depth, [la.on_strap for la in state.layers])


def thinned(state: PlugState, factor: float) -> PlugState:
    """The same state with thinner layers: metal in the gap carries less than the nose."""
    layers = tuple(replace(la, thickness=la.thickness * factor) for la in state.layers)
    return replace(state, layers=layers)
