"""Centre electrode and straps. The strap is set so that its clearance is the gap asked for, before any deposit."""

from dataclasses import dataclass

import numpy as np

from plugsight.synthetic.design import PlugDesign
from plugsight.synthetic.grids import LARGEST_FILLET, Grid, Points, filleted, revolved, spaced
from plugsight.synthetic.shell import ring_radius
from plugsight.synthetic.state import PlugState
from plugsight.vocabulary.damage import Damage


@dataclass(frozen=True, slots=True)
class Wear:
    """Shape of worn electrodes; lengths in mm, angles in degrees."""

    gap_mm: float
    edge_radius_mm: float
    lean_deg: float
    swing_deg: float
    hollow_mm: float


def tip_z(design: PlugDesign) -> float:
    """Height of the centre electrode's face."""
    return design.nose_tip_z_mm + design.electrode_protrusion_mm


def edge_radius(design: PlugDesign, rounding: float) -> float:
    """Radius of the worn edge: 0.03 mm when square, growing with ``rounding`` to just under half the face or flank."""
    half = design.electrode_diameter_mm / 2
    cone = cone_mm(design)
    # Below a full-size electrode's flank the ceramic's mouth hides 0.6 mm more of it.
    flank = design.electrode_protrusion_mm - cone if cone else design.electrode_protrusion_mm + 0.6
    return min(0.03 + rounding * (half - 0.04), LARGEST_FILLET * half, LARGEST_FILLET * flank)


def cone_mm(design: PlugDesign) -> float:
    """Height of the cone that a fine wire stands on; 0 where the electrode leaves the ceramic at its full size."""
    step = (design.electrode_base_mm - design.electrode_diameter_mm) / 2
    return min(0.55 * design.electrode_protrusion_mm, 0.3 + step * 0.8) if step > 0.05 else 0.0


def wear_of(design: PlugDesign, state: PlugState) -> Wear:
    """Shape of the electrodes in a state; a strap that was struck is closed, or swung aside and leaning."""
    gap, lean, swing = state.gap_mm, state.strap_lean_deg, state.strap_swing_deg
    rounding = state.edge_rounding
    if (bent := state.amount(Damage.BENT_STRAP)) > 0:
        if bent > BENT_CLOSES:
            gap *= 0.5 * (1 - bent)
            lean = -abs(lean)
        else:
            swing += np.copysign(6 + 30 * bent, swing)
            lean += np.copysign(8 * bent, lean)
    if (melt := state.amount(Damage.MELTED_ELECTRODE)) > 0:
        rounding = max(rounding, 0.5 + 0.5 * melt)
    return Wear(gap, edge_radius(design, rounding), lean, swing, state.hollow_mm)


def damage_of(design: PlugDesign, state: PlugState, wear: Wear) -> tuple[tuple[Damage, float], ...]:
    """Damage present with its amount; worn electrodes follow from rounding, hollow and gap (limits invented)."""
    rounding = wear.edge_radius_mm / (design.electrode_diameter_mm / 2)
    worn = max(
        (rounding - 0.35) / (LARGEST_FILLET - 0.35),
        (state.hollow_mm - 0.12) / 0.28,
        (state.gap_mm - 1.3) / 0.7,
    )
    found = dict(state.damage)
    if worn > 0:
        found[Damage.WORN_ELECTRODES] = min(worn, 1.0)
    return tuple((d, found[d]) for d in Damage if d in found)


BENT_CLOSES = 0.55
"""Bent amounts above this close the gap; below, the strap is swung aside."""


def centre_grid(design: PlugDesign, radius_mm: float) -> Grid:
    """Centre electrode with its edge rounded by ``radius_mm``; fine wires stand on a cone."""
    half, base, top = design.electrode_diameter_mm / 2, design.electrode_base_mm / 2, tip_z(design)
    foot = design.nose_tip_z_mm
    line = [(base, foot - 0.6, 0.0)]
    if cone := cone_mm(design):
        line += [(base, foot + 0.12, 0.08), (half, foot + cone, 0.1)]
    line += [(half, top, radius_mm), (0.0, top, 0.0)]
    rounded = filleted(line)
    # Vertex columns follow the girth, so fine wires are not meshed finer than any camera sees.
    columns = int(np.clip(2 * np.pi * half / 0.025, 120, 320))
    return revolved(spaced(rounded, np.full(len(rounded), 0.025)), columns)


def strap_grid(design: PlugDesign, wear: Wear, azimuth_deg: float) -> Grid:
    """One ground electrode, swept from its weld on the face, turned to its azimuth."""
    line, bend_x = _centre_line(design, wear)
    tangent = np.gradient(line, axis=0)
    tangent /= np.linalg.norm(tangent, axis=1, keepdims=True)
    outward = np.stack([tangent[:, 1], -tangent[:, 0]], axis=1)
    outward = np.where(outward[:1, :1] < 0, -outward, outward)
    step = np.linalg.norm(np.diff(line, axis=0), axis=1)
    along = np.concatenate([[0.0], np.cumsum(step)])
    width = _widths(design, along)
    flare = 1 + 0.3 * np.exp(-np.clip(line[:, 1], 0, None) / 0.22) * (line[:, 0] > bend_x)
    ring = _section(design)
    across = ring[None, :, 0] * (width * flare)[:, None]
    depth = ring[None, :, 1] * design.strap_depth_mm * (1 + (flare[:, None] - 1) * 0.2)
    across, depth, push = _rounded_tip(across, depth, design)
    rows = np.concatenate([np.arange(len(line)), np.full(len(across) - len(line), len(line) - 1)])
    x = line[rows, 0][:, None] + outward[rows, 0][:, None] * depth + tangent[rows, 0][:, None] * push[:, None]
    z = line[rows, 1][:, None] + outward[rows, 1][:, None] * depth + tangent[rows, 1][:, None] * push[:, None]
    y = across + np.tan(np.deg2rad(wear.swing_deg)) * np.maximum(bend_x - x, 0)
    if design.strap != "side":
        face = np.exp(-((x**2 + y**2) / (0.36 * max(design.electrode_diameter_mm, 1.0) ** 2)))
        z = z + wear.hollow_mm * face * (depth < 0) * np.clip(-depth / design.strap_depth_mm * 2, 0, 1)
    turn = np.deg2rad(azimuth_deg)
    return Grid(
        np.stack([x * np.cos(turn) - y * np.sin(turn), x * np.sin(turn) + y * np.cos(turn), z], axis=2)
    )


def _centre_line(design: PlugDesign, wear: Wear) -> tuple[Points, float]:
    """Centre line ``(n, 2)`` of ``(x, z)`` from weld to tip, and the x where the bend ends."""
    weld = (design.bore_radius_mm + ring_radius(design)) / 2
    half, depth, top = design.electrode_diameter_mm / 2, design.strap_depth_mm, tip_z(design)
    if design.strap == "side":
        end = half + wear.gap_mm
        level = top - min(max(depth / 2, 0.25), depth / 2 + 0.2)
        radius = min(design.strap_bend_mm, weld - end - 0.15, max(level - 0.1, 0.25))
        lean = 0.0
    else:
        end = -design.strap_overhang_mm
        lean = np.deg2rad(wear.lean_deg)
        radius = min(design.strap_bend_mm, weld - half - 0.2)
        bend_x = weld - radius
        near = [np.tan(lean) * (bend_x - x) for x in (half, max(-half, end))]
        level = top + wear.gap_mm + depth / 2 / np.cos(lean) - min(near)
        radius = min(radius, max(level - 0.05, 0.3))
    radius = max(radius, 0.2)
    bend_x = weld - radius
    corners = [(weld, -0.35, 0.0), (weld, level, radius), (end + tip_edge(design), level, 0.0)]
    line = filleted(corners)
    flat = line[:, 0] < bend_x
    line[flat, 1] += np.tan(lean) * (bend_x - line[flat, 0])
    line = spaced(line, np.full(len(line), 0.04))
    return line, bend_x


def _widths(design: PlugDesign, along: Points) -> Points:
    """Width along the strap: full, then tapering over the last part to the tip's width."""
    share = along / along[-1]
    taper = np.clip((share - 0.55) / 0.45, 0, 1)
    return np.asarray(design.strap_width_mm + (design.strap_tip_width_mm - design.strap_width_mm) * taper)


def _section(design: PlugDesign) -> Points:
    """Rounded rectangle of unit width and depth, ``(n, 2)``, ordered so that the sweep faces outwards."""
    corner = 0.2 * design.strap_depth_mm
    half_w, half_d = design.strap_width_mm / 2, design.strap_depth_mm / 2
    square = [(0.0, -half_d, 0.0), (half_w, -half_d, corner), (half_w, half_d, corner)]
    square += [(-half_w, half_d, corner), (-half_w, -half_d, corner), (0.0, -half_d, 0.0)]
    line = spaced(filleted(square), np.full(len(filleted(square)), 0.042))[:-1]
    if design.strap_groove:
        line[:, 1] -= 0.15 * np.exp(-((line[:, 0] / 0.35) ** 2)) * (line[:, 1] > 0)
    return np.asarray(line[::-1] / np.array([design.strap_width_mm, design.strap_depth_mm]))


def _rounded_tip(across: Points, depth: Points, design: PlugDesign) -> tuple[Points, Points, Points]:
    """Close the tip: a rounded edge, then rings to the middle. Returns the sections and their push beyond the line."""
    radius = tip_edge(design)
    angles = np.linspace(0, np.pi / 2, 6)[1:]
    inset, push = radius * (1 - np.cos(angles)), radius * np.sin(angles)
    shrink = np.linspace(1, 0, 14)[1:]
    last_a, last_d = across[-1], depth[-1]
    half_a, half_d = np.abs(last_a).max(), np.abs(last_d).max()
    a = [last_a * (1 - i / half_a) for i in inset] + [last_a * (1 - radius / half_a) * s for s in shrink]
    d = [last_d * (1 - i / half_d) for i in inset] + [last_d * (1 - radius / half_d) * s for s in shrink]
    pushes = np.concatenate([np.zeros(len(across)), push, np.full(len(shrink), radius)])
    return np.concatenate([across, np.array(a)]), np.concatenate([depth, np.array(d)]), pushes


def tip_edge(design: PlugDesign) -> float:
    """Radius of the strap's end edges, mm."""
    return 0.1 * design.strap_depth_mm + 0.03
