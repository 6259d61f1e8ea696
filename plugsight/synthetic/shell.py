"""The shell: face, bore, plain ring, helical thread, seat, hexagon, gasket."""

import numpy as np

from plugsight.synthetic.design import PlugDesign
from plugsight.synthetic.grids import Grid, Points, filleted, revolved, spaced
from plugsight.synthetic.thread_form import minor_diameter, thread_radius
from plugsight.vocabulary.engine import Seat

COLUMNS = 384
UNDERCUT_MM = 1.2


def ring_radius(design: PlugDesign) -> float:
    """Radius of the plain ring at the face: a little below the root of the thread, so a nut can start."""
    return minor_diameter(design.major_diameter_mm, design.pitch_mm) / 2 - 0.05


def seat_z(design: PlugDesign) -> float:
    """Height of the seat (below the thread and its undercut)."""
    return -(design.thread_end_mm + design.thread_length_mm + UNDERCUT_MM)


def collar_radius(design: PlugDesign) -> float:
    """Radius of the collar that carries the seat; never wider than the hexagon's flats."""
    return min(design.major_diameter_mm / 2 + 2.6, design.hexagon_mm / 2 * 0.985)


def shell_grid(design: PlugDesign, wear_mm: float) -> Grid:
    """Collar, thread, face and bore as one surface; ``wear_mm`` flattens crests unevenly (at most that much)."""
    ring, root = ring_radius(design), minor_diameter(design.major_diameter_mm, design.pitch_mm) / 2
    major = design.major_diameter_mm / 2
    bottom, collar = seat_z(design), collar_radius(design)
    start, stop = -design.thread_end_mm, -(design.thread_end_mm + design.thread_length_mm)
    lower = [(root - 0.1, bottom - design.collar_mm, 0.0), (collar, bottom - design.collar_mm, 0.3)] + (
        [(collar, bottom - 0.6, 0.2), (major + 0.15, bottom + (collar - major) * 1.6 - 0.6, 0.2)]
        if design.seat is Seat.TAPER
        else [(collar, bottom, 0.25)]
    )
    undercut_z = bottom + (collar - major) * 1.6 - 0.6 if design.seat is Seat.TAPER else bottom
    top_of_undercut = max(stop, undercut_z + 0.25)
    foot = [*lower, (root - 0.08, undercut_z, 0.15), (root - 0.08, top_of_undercut, 0.0)]
    bore, depth = design.bore_radius_mm, design.bore_depth_mm
    chamfer = min(0.35, (ring - bore) * 0.3)
    head = [
        (ring, start, 0.0),
        (ring, -chamfer * 0.2, min(chamfer, 0.25)),
        (bore, 0.0, design.bore_fillet_mm),
        (bore, -2.5, 0.0),
        (bore, -depth + 0.5, 0.3),
        (bore * 0.55, -depth, 0.0),
    ]
    foot_line, head_line = filleted(foot), filleted(head)
    rows_z = np.arange(top_of_undercut, start, design.pitch_mm / 20)[1:]
    foot_line = spaced(foot_line, np.full(len(foot_line), 0.22))
    head_line = spaced(head_line, np.interp(head_line[:, 1], [-4.0, -1.5, 0.0], [0.35, 0.09, 0.05]))
    thread_rows = np.stack([np.full(len(rows_z), root), rows_z], axis=1)
    grid = revolved(np.concatenate([foot_line, thread_rows, head_line]), COLUMNS)
    first = len(foot_line)
    _cut_thread(grid.points[first : first + len(rows_z)], design, rows_z, ring, wear_mm)
    return grid


def _cut_thread(rows: Points, design: PlugDesign, z: Points, ring: float, wear_mm: float) -> None:
    """Replace the radius of ``rows`` by the helix, limited by a 40 degree chamfer at both ends."""
    angle = np.arange(COLUMNS) * (2 * np.pi / COLUMNS)
    phase = np.deg2rad(design.thread_phase_deg)
    turns = -z[:, None] / design.pitch_mm + (angle[None, :] + phase) / (2 * np.pi)
    uneven = wear_mm * (
        0.55 + 0.45 * np.sin(3 * angle + 7 * phase)[None, :] * np.sin(z[:, None] * 0.9 + phase)
    )
    radius = thread_radius(turns, design.major_diameter_mm, design.pitch_mm)
    radius = np.minimum(radius, design.major_diameter_mm / 2 - uneven)
    from_top = -design.thread_end_mm - z[:, None]
    from_foot = z[:, None] - z[0]
    limit = ring + np.minimum(from_top, from_foot) * np.tan(np.deg2rad(40.0))
    radius = np.minimum(radius, limit)
    rows[:, :, 0] = radius * np.cos(angle)
    rows[:, :, 1] = radius * np.sin(angle)


def hexagon_grid(design: PlugDesign) -> Grid:
    """Hexagon with chamfered corners, the waist below it and the crimp that holds the insulator."""
    top = seat_z(design) - design.collar_mm
    half, height, neck = design.hexagon_mm / 2, design.hexagon_height_mm, design.insulator_radius_mm
    crimp = min(neck + 1.5, half * 0.93)
    line = filleted(
        [
            (neck - 0.3, top - height - 3.2, 0.0),
            (neck + 0.45, top - height - 3.2, 0.25),
            (crimp, top - height - 2.3, 0.7),
            (crimp, top - height - 0.2, 0.1),
            (half * 0.93, top - height, 0.05),
            (half * 1.16, top - height + 0.02, 0.0),
            (half * 1.16, top - 0.02, 0.0),
            (half * 0.93, top, 0.05),
            (collar_radius(design) * 0.6, top + 0.02, 0.0),
        ]
    )
    line = spaced(line, np.full(len(line), 0.13))
    grid = revolved(line, 360)
    angle = np.arange(360) * (2 * np.pi / 360)
    within = (angle + np.deg2rad(design.thread_phase_deg)) % (np.pi / 3) - np.pi / 6
    flat = half / np.cos(within)
    z = line[:, 1]
    from_end = np.minimum(top - z, z - (top - height))
    in_hexagon = (from_end >= -1e-6) & (line[:, 0] > half * 0.9)
    chamfer = half * 0.97 + np.maximum(from_end, 0) / np.tan(np.deg2rad(30.0))
    radius = np.minimum(np.minimum(flat[None, :], half * 1.145), chamfer[:, None])
    radius = np.where(
        in_hexagon[:, None], np.minimum(radius, np.maximum(line[:, :1], half * 0.9)), line[:, :1]
    )
    grid.points[:, :, 0] = radius * np.cos(angle)
    grid.points[:, :, 1] = radius * np.sin(angle)
    return grid


def gasket_grid(design: PlugDesign) -> Grid:
    """A folded ring gasket under the seat."""
    inner, outer = design.major_diameter_mm / 2 + 0.1, collar_radius(design) - 0.15
    bottom, height = seat_z(design), min(1.5, UNDERCUT_MM + 0.2)
    line = filleted(
        [
            (inner, bottom + 0.02, 0.0),
            (outer, bottom + 0.02, 0.6),
            (outer + 0.15, bottom + height / 2, 0.5),
            (outer, bottom + height, 0.6),
            (inner, bottom + height, 0.4),
            (inner, bottom + 0.02, 0.0),
        ]
    )
    return revolved(spaced(line, np.full(len(line), 0.1)), 240)
