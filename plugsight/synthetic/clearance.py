"""The gap as it is on the displaced meshes, by wire gauge and by flat feeler."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from plugsight.synthetic.design import PlugDesign

Vertices = NDArray[np.float32]
BLADE_MM = 0.4
"""How far a feeler's blade bears on the strap beyond the electrode's edge."""
REACH_MM = 3.0
"""Straps farther than this from the electrode are not looked at: the gap is then said to be this wide."""
Point = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Gap:
    """Clearances in mm and the nearest points on centre electrode and strap."""

    wire_mm: float
    flat_mm: float
    points_mm: tuple[Point, Point]


def measured_gap(design: PlugDesign, centre: Vertices, straps: list[Vertices], *, bridged: bool) -> Gap:
    """Smallest gap over all straps; both are 0 where a deposit bridges it.

    Wire: the smallest distance between the electrode above the ceramic and a strap. Flat: along the axis (or, for
    straps beside the electrode, along the radius) from the highest point of one to the lowest point of the other,
    over the part where they face each other; 0 where lumps overlap. Distances are between vertices about 0.03 mm
    apart: too large by at most s²/(4 gap), 0.001 mm at a gap of 0.3 mm.
    """
    face = centre[centre[:, 2] > design.nose_tip_z_mm + 0.1].astype(np.float64)
    reach = face.min(axis=0) - REACH_MM, face.max(axis=0) + REACH_MM
    near = [strap[((strap > reach[0]) & (strap < reach[1])).all(axis=1)] for strap in straps]
    gaps = [_one(design, face, strap.astype(np.float64)) for strap in near if len(strap)]
    if not gaps:
        return Gap(REACH_MM, REACH_MM, ((0.0, 0.0, 0.0), (0.0, 0.0, 0.0)))
    gap = min(gaps, key=lambda gap: gap.wire_mm)
    return Gap(0.0, 0.0, gap.points_mm) if bridged else gap


def _one(design: PlugDesign, face: NDArray[np.float64], strap: NDArray[np.float64]) -> Gap:
    distance, index = cKDTree(strap).query(face)
    at = int(np.argmin(distance))
    a, b = face[at], strap[index[at]]
    return Gap(
        wire_mm=float(distance[at]),
        flat_mm=max(0.0, _flat(design, face, strap)),
        points_mm=((float(a[0]), float(a[1]), float(a[2])), (float(b[0]), float(b[1]), float(b[2]))),
    )


def _flat(design: PlugDesign, face: NDArray[np.float64], strap: NDArray[np.float64]) -> float:
    half = design.electrode_diameter_mm / 2
    if design.strap != "side":
        over = np.hypot(strap[:, 0], strap[:, 1]) < half + BLADE_MM
        if not over.any():
            return REACH_MM
        return float(strap[over, 2].min() - face[:, 2].max())
    top = face[:, 2].max()
    facing = (strap[:, 2] > top - design.strap_depth_mm) & (strap[:, 2] < top)
    level = face[face[:, 2] > max(top - design.strap_depth_mm, design.nose_tip_z_mm)]
    inner = np.hypot(strap[:, 0], strap[:, 1])[facing].min()
    return float(inner - np.hypot(level[:, 0], level[:, 1]).max())
