"""The record that leaves the photo room."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plugsight.vocabulary.quality import QualityNote


@dataclass(frozen=True, slots=True, eq=False)
class Photo:
    """One upright sRGB picture, stripped of its metadata.

    ``pixels`` is ``(rows, cols, 3)`` uint8 sRGB. ``digest`` is the SHA-256 of the file's bytes as given.
    """

    name: str
    digest: str
    pixels: NDArray[np.uint8]
    notes: tuple[QualityNote, ...] = ()
