"""Ceramic: the nose at the firing end, the outer insulator with its ribs, and the terminal behind it."""

import numpy as np

from plugsight.synthetic.design import PlugDesign
from plugsight.synthetic.grids import Grid, filleted, revolved, spaced
from plugsight.synthetic.shell import seat_z


def nose_radius(design: PlugDesign, z: float) -> float:
    """Radius of the new nose's flank at a height, mm."""
    depth = design.nose_tip_z_mm - z
    step = 0.28 if design.nose_step and depth > NOSE_STEP_MM else 0.0
    free = design.bore_radius_mm - 0.4
    return float(min(design.nose_tip_radius_mm + step + design.nose_taper * depth, free))


NOSE_STEP_MM = 1.3


def nose_grid(design: PlugDesign) -> Grid:
    """Flank from the bottom of the bore up to the tip, then in to the electrode."""
    tip = design.nose_tip_z_mm
    heights = [-design.bore_depth_mm * 0.8, -5.0, -2.5]
    line = [(design.bore_radius_mm, -design.bore_depth_mm, 0.0)]
    line += [(nose_radius(design, z), z, 0.4) for z in heights if z < tip - NOSE_STEP_MM - 0.6]
    if design.nose_step:
        line += [
            (nose_radius(design, tip - NOSE_STEP_MM - 0.1), tip - NOSE_STEP_MM - 0.2, 0.15),
            (nose_radius(design, tip - NOSE_STEP_MM + 0.05), tip - NOSE_STEP_MM + 0.05, 0.15),
        ]
    line += [
        (nose_radius(design, tip), tip, design.nose_fillet_mm),
        (design.electrode_base_mm / 2 + 0.05, tip, 0.04),
        (design.electrode_base_mm / 2 + 0.05, tip - 0.4, 0.0),
    ]
    rounded = filleted(line)
    spacing = np.interp(rounded[:, 1], [-7.0, -3.0, max(tip - 2.0, -2.9)], [0.3, 0.08, 0.03])
    columns = int(np.clip(2 * np.pi * nose_radius(design, min(tip - 1, -1)) / 0.034, 360, 720))
    return revolved(spaced(rounded, spacing), columns)


def outer_grid(design: PlugDesign) -> Grid:
    """Glazed insulator from the crimp down to the terminal."""
    top = seat_z(design) - design.collar_mm - design.hexagon_height_mm - 2.8
    radius, length = design.insulator_radius_mm, design.insulator_length_mm
    z = np.linspace(top - length, top, 260)
    below = top - z
    r = np.full_like(z, radius)
    first, spacing = 3.5, 2.3
    for k in range(design.ribs):
        r += 0.35 * np.exp(-(((below - first - k * spacing) / 0.55) ** 2))
        r -= 0.12 * np.exp(-(((below - first - (k + 0.5) * spacing) / 0.5) ** 2))
    r *= 1 - 0.16 * np.clip((below - length * 0.65) / (length * 0.35), 0, 1)
    end = np.sqrt(np.clip((length - below) / 0.8, 0, 1))
    r = np.minimum(r, r - 0.8 * (1 - end))
    line = np.concatenate([[[1.5, z[0]]], np.stack([r, z], axis=1), [[radius - 1.0, top + 0.3]]])
    return revolved(line, 240)


def terminal_grid(design: PlugDesign) -> Grid:
    """Threaded stem or screwed-on nut."""
    top = seat_z(design) - design.collar_mm - design.hexagon_height_mm - 2.8 - design.insulator_length_mm
    if design.terminal_nut:
        line = filleted(
            [
                (0.0, top - 8.0, 0.0),
                (2.6, top - 8.0, 0.7),
                (3.15, top - 6.0, 0.5),
                (2.45, top - 4.6, 0.5),
                (3.15, top - 3.0, 0.5),
                (3.2, top, 0.3),
                (1.0, top, 0.0),
            ]
        )
    else:
        line = filleted(
            [(0.0, top - 7.0, 0.0), (2.0, top - 7.0, 0.4), (2.0, top + 0.3, 0.0), (1.0, top + 0.3, 0)]
        )
    return revolved(spaced(line, np.full(len(line), 0.15)), 120)
