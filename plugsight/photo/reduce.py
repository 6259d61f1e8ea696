"""Reduce a picture by a whole number: the fast way to look at a large photo."""

import cv2
import numpy as np
from numpy.typing import NDArray


def reduce_by(pixels: NDArray[np.uint8], factor: int) -> NDArray[np.uint8]:
    """Mean of ``factor`` x ``factor`` blocks of ``(rows, cols, 3)`` uint8; rows and columns left over are dropped.

    Pixel ``(r, c)`` of the result has its centre at ``(factor * (r + 0.5) - 0.5, ...)`` of the original. ``factor`` 1 returns the
    picture itself. Even factors are halved first, which OpenCV does three times as fast; the mean may then be off by one code.
    """
    while factor > 1:
        part = 2 if factor % 2 == 0 else factor
        rows, cols = pixels.shape[0] // part, pixels.shape[1] // part
        whole = pixels[: rows * part, : cols * part]
        pixels = np.asarray(cv2.resize(whole, (cols, rows), interpolation=cv2.INTER_AREA), dtype=np.uint8)
        factor //= part
    return pixels


def fit_to(pixels: NDArray[np.uint8], size: tuple[int, int]) -> NDArray[np.uint8]:
    """Return the picture at ``size`` (columns, rows): mean of the pixels that fall into each, halved first where that is quicker."""
    while pixels.shape[1] >= 2 * size[0] and pixels.shape[0] >= 2 * size[1]:
        pixels = reduce_by(pixels, 2)
    how = cv2.INTER_AREA if size[0] <= pixels.shape[1] else cv2.INTER_LINEAR
    return np.asarray(cv2.resize(pixels, size, interpolation=how), dtype=np.uint8)
