"""The record that leaves the segments room."""

from collections.abc import Mapping
from dataclasses import dataclass, field
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
    """The tip finer than on the canonical crop: three times in side and oblique views, 5/3 times in end views.

    ``chances`` ``(5, 320, 320)`` float32: chance of each ``Part``, so an outline can be placed between pixels.
    ``to_view`` ``(2, 3)`` maps its ``(col, row, 1)`` to view ``(col, row)``; ``px`` is the size of one of its pixels in view
    pixels, ``crop`` the picture it was read from, ``(320, 320, 3)`` sRGB. ``read`` are the numbers read off it, by name:
    ``tilt_deg`` at the gap (positive: the camera sees the end face), ``off_profile_deg`` of the strap (0 to 90), ``gap_px`` and
    ``edge_px`` (gap and edge radius in its pixels).
    """

    chances: NDArray[np.float32]
    to_view: NDArray[np.float64]
    px: float
    crop: NDArray[np.uint8] | None = None
    read: Mapping[str, Sighting] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, eq=False)
class Segments:
    """``labels`` ``(rows, cols)`` uint8 of ``Part`` on the grid of ``View.pixels``.

    A deposit belongs to the part it sits on. ``confidence`` 0..1 is the mean certainty of the labelled pixels.
    ``canonical_labels`` ``(320, 320)`` uint8 of ``Part`` on the grid of ``View.canonical``: what
    ``find_parts_canonical`` returns for that crop, so features from stored crops agree exactly with use.
    ``read`` are the numbers read off the canonical crop, by name: ``tilt_deg``, ``off_profile_deg``, ``pitch_px`` (the
    thread's pitch in its pixels as it would be at the gap's distance) and ``nearness`` (thread radius over lens distance).
    """

    labels: NDArray[np.uint8]
    confidence: float
    canonical_labels: NDArray[np.uint8]
    tip: TipMap
    read: Mapping[str, Sighting] = field(default_factory=dict)
    notes: tuple[QualityNote, ...] = ()
