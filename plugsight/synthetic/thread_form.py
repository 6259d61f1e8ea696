"""Radius of an external metric thread: ISO 68-1 basic profile with the rounded root of ISO 965-1.

H = sqrt(3)/2 P; crest flat P/8 at the major diameter; flanks at 30 degrees to the plug's radius; root rounded with H/6,
so the minor diameter is d - 1.22687 P and the pitch diameter d - 0.64952 P (ISO 724).
"""

import numpy as np
from numpy.typing import NDArray

HEIGHT_PER_PITCH = np.sqrt(3) / 2


def minor_diameter(major_mm: float, pitch_mm: float) -> float:
    """Diameter at the rounded root, d3 = d - 17/12 H."""
    return float(major_mm - 17 / 12 * HEIGHT_PER_PITCH * pitch_mm)


def thread_radius(
    turns: NDArray[np.float64], major_mm: float, pitch_mm: float, crest_wear_mm: float = 0.0
) -> NDArray[np.float64]:
    """Radius in mm where the helix has advanced ``turns`` pitches (any real number; whole numbers are crests).

    ``crest_wear_mm`` flattens the crests by that much.
    """
    from_crest = np.abs(turns - np.round(turns)) * pitch_mm
    flank = major_mm / 2 - (from_crest - pitch_mm / 16) * np.sqrt(3)
    root_radius = HEIGHT_PER_PITCH * pitch_mm / 6
    root = minor_diameter(major_mm, pitch_mm) / 2
    from_root = pitch_mm / 2 - from_crest
    touch = root_radius * np.cos(np.pi / 6)
    arc = root + root_radius - np.sqrt(np.maximum(root_radius**2 - np.minimum(from_root, touch) ** 2, 0))
    radius = np.where(from_root < touch, arc, flank)
    return np.asarray(np.minimum(radius, major_mm / 2 - crest_wear_mm))
