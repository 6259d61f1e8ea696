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


@dataclass(frozen=True, slots=True, eq=False)
class Segments:
    """``labels`` ``(rows, cols)`` uint8 of ``Part`` on the grid of ``View.pixels``.

    A deposit belongs to the part it sits on. ``confidence`` 0..1 is the mean certainty of the labelled pixels.
    ``canonical_labels`` ``(320, 320)`` uint8 of ``Part`` on the grid of ``View.canonical``: what
    ``find_parts_canonical`` returns for that crop, so features from stored crops agree exactly with use.
    """

    labels: NDArray[np.uint8]
    confidence: float
    canonical_labels: NDArray[np.uint8]
    notes: tuple[QualityNote, ...] = ()
