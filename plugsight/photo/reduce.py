"""Reduce a picture by a whole number: the fast way to look at a large photo."""

import cv2
import numpy as np
from numpy.typing import NDArray


def reduce_by(pixels: NDArray[np.uint8], factor: int) -> NDArray[np.uint8]:
    """Mean of ``factor`` x ``factor`` blocks of ``(rows, cols, 3)`` uint8; rows and columns left over are dropped.

    Pixel ``(r, c)`` of the result has its centre at ``(factor * (r + 0.5) - 0.5, ...)`` of the original. ``factor`` 1 returns the
    picture itself.
    """
    if factor <= 1:
        return pixels
    rows, cols = pixels.shape[0] // factor, pixels.shape[1] // factor
    whole = pixels[: rows * factor, : cols * factor]
    return np.asarray(cv2.resize(whole, (cols, rows), interpolation=cv2.INTER_AREA), dtype=np.uint8)
