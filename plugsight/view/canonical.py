"""The canonical crop: every plug the same size, the same way up, in neutral colour."""

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.photo.tone import encode

SIZE = 320
"""Side of the canonical crop in pixels."""

THREAD_SHARE = 0.45
"""Side and oblique views: the thread's major diameter as a share of the crop's width."""

SHELL_SHARE = 0.80
"""End views: the shell's outer circle as a share of the crop's width."""

GAP_DOWN = 0.35
"""Side and oblique views: the gap region's height from the top."""

OUTSIDE = 0.18
"""Where the photo does not reach, the crop has the card's own linear grey."""


def side_window(axis_col: float, gap_row: float, width_px: float) -> NDArray[np.float64]:
    """``(2, 3)`` matrix from canonical ``(col, row, 1)`` to view ``(col, row)``.

    ``width_px`` is the thread's major diameter on the view, ``gap_row`` the row of the gap region.
    """
    step = width_px / (THREAD_SHARE * SIZE)
    middle, down = (SIZE - 1) / 2, GAP_DOWN * (SIZE - 1)
    return np.array([[step, 0.0, axis_col - step * middle], [0.0, step, gap_row - step * down]])


def end_window(centre_col: float, centre_row: float, shell_px: float) -> NDArray[np.float64]:
    """``(2, 3)`` matrix from canonical to view for an end view; ``shell_px`` is the shell circle's diameter."""
    step = shell_px / (SHELL_SHARE * SIZE)
    middle = (SIZE - 1) / 2
    return np.array([[step, 0.0, centre_col - step * middle], [0.0, step, centre_row - step * middle]])


def crop(linear: NDArray[np.float32], window: NDArray[np.float64]) -> NDArray[np.uint8]:
    """Canonical ``(320, 320, 3)`` uint8 sRGB of neutral linear pixels ``(rows, cols, 3)``."""
    step = float(np.hypot(window[0, 0], window[1, 0]))
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    source, moved = linear, window
    if step > 1.5:
        factor = 1.2 / step
        size = (max(1, round(linear.shape[1] * factor)), max(1, round(linear.shape[0] * factor)))
        source = np.asarray(cv2.resize(linear, size, interpolation=cv2.INTER_AREA), dtype=np.float32)
        scale = np.array([[size[0] / linear.shape[1]], [size[1] / linear.shape[0]]])
        moved = window * scale
        moved[:, 2] += (scale[:, 0] - 1) / 2
    picture = cv2.warpAffine(
        source, moved, (SIZE, SIZE), flags=flags, borderMode=cv2.BORDER_CONSTANT, borderValue=(OUTSIDE,) * 3
    )
    return encode(picture.astype(np.float32))
