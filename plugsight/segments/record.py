"""The record that leaves the segments room."""

from dataclasses import dataclass
from enum import IntEnum

import numpy as np
from numpy.typing import NDArray

from plugsight.vocabulary.quality import QualityNote


class Part(IntEnum):
    """Labels of the part map (numbers are stored)."""

    BACKGROUND = 0
    SHELL = 1
    NOSE = 2
    CENTRE_ELECTRODE = 3
    GROUND_ELECTRODE = 4


@dataclass(frozen=True, slots=True)
class Sighting:
    """A number the part network read off a crop besides the parts, with its standard uncertainty."""

    value: float
    u: float


@dataclass(frozen=True, slots=True, eq=False)
class TipMap:
    """The gap region three times finer than the canonical crop.

    ``chances`` ``(5, 320, 320)`` float32: chance of each ``Part``, so an outline can be placed between pixels.
    ``to_view`` ``(2, 3)`` maps its ``(col, row, 1)`` to view ``(col, row)``; ``px`` is the size of one of its pixels in view
    pixels, ``crop`` the picture it was read from, ``(320, 320, 3)`` sRGB. ``tilt_deg`` is the signed tilt at the gap as it looks (positive: the camera sees the end face),
    ``off_profile_deg`` how far the strap is from profile, 0 to 90, ``overlap_px`` how much of the gap, in its pixels, the
    tilted outlines of electrode and strap cover between them.
    """

    chances: NDArray[np.float32]
    to_view: NDArray[np.float64]
    px: float
    crop: NDArray[np.uint8] | None = None
    tilt_deg: Sighting | None = None
    off_profile_deg: Sighting | None = None
    overlap_px: Sighting | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Segments:
    """``labels`` ``(rows, cols)`` uint8 of ``Part`` on the grid of ``View.pixels``.

    A deposit belongs to the part it sits on. ``confidence`` 0..1 is the mean certainty of the labelled pixels.
    ``canonical_labels`` ``(320, 320)`` uint8 of ``Part`` on the grid of ``View.canonical``: what
    ``find_parts_canonical`` returns for that crop, so features from stored crops agree exactly with use.
    ``tip`` is None in an end view or where no centre electrode was found.
    """

    labels: NDArray[np.uint8]
    confidence: float
    canonical_labels: NDArray[np.uint8]
    tip: TipMap | None = None
    notes: tuple[QualityNote, ...] = ()
