"""Brightness down the thread: what flanks and turns are read from."""

import cv2
import numpy as np
from numpy.typing import NDArray

_SLOW = 0.09
"""Changes slower than this part of the thread's width (a turn is 0.07 to 0.12 of it) are light, not thread."""

_STRAYS = 2.5
"""Highlights count no more than this many times the usual size."""


def brightness_down(
    green: NDArray[np.uint8],
    columns: NDArray[np.int_],
    rows: NDArray[np.int_],
    width: float,
    *,
    across_px: int,
    least: float,
) -> NDArray[np.float32]:
    """Brightness at each of ``columns`` down evenly spaced ``rows``, ``(n, k)``: slow changes removed, each scaled to unit size.

    ``green`` ``(rows, cols)`` uint8 of an upright picture on which the thread is ``width`` pixels wide; the mean over ``across_px``
    columns is taken. A signal smaller than ``least`` (a hundredth of full brightness) is not scaled up.
    """
    columns = np.clip(columns, 0, green.shape[1] - 1)
    low, high = int(columns.min()), int(columns.max()) + 1
    part = green[rows, max(0, low - across_px) : high + across_px]
    soft = cv2.boxFilter(part, cv2.CV_32F, (across_px, 1))
    signal = np.ascontiguousarray(soft[:, columns - max(0, low - across_px)]) * np.float32(100 / 255)
    slow = cv2.GaussianBlur(signal, (0, 0), sigmaX=1e-3, sigmaY=_SLOW * width / float(rows[1] - rows[0]))
    quick = signal - slow
    size = np.maximum(np.sqrt(np.mean(quick * quick, axis=0)), np.float32(least))
    scaled: NDArray[np.float32] = np.clip(quick / size, -_STRAYS, _STRAYS)
    return scaled
