"""The photo's part that holds the firing end, turned upright at the resolution that measuring needs."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.photo.reduce import reduce_by
from plugsight.view.axis import Axis

MAX_THREAD_PX = 600.0
"""Thread widths above this are reduced to it: 43 pixels per mm on M14, half as much again as the gap needs."""

_WIDE, _HIGH = 1.9, 2.2
"""The crop's size in thread widths: strap, background for the card, and three quarters of the thread's length."""

FACE_DOWN = 0.35 + 0.2 / _HIGH
"""The shell's end stands this share of the crop's height from its top, the gap 0.2 thread widths above it."""


@dataclass(frozen=True, slots=True, eq=False)
class Upright:
    """The crop. ``pixels`` ``(rows, cols, 3)`` uint8 sRGB; ``inside`` ``(rows, cols)`` bool: True where the photo reaches.

    ``axis_col``, ``face_row`` and ``width`` are the coarse axis' figures on this grid; ``to_photo`` ``(2, 3)`` maps
    ``(col, row, 1)`` to the photo's ``(col, row)``.
    """

    pixels: NDArray[np.uint8]
    inside: NDArray[np.bool_]
    axis_col: float
    face_row: float
    width: float
    to_photo: NDArray[np.float64]


def make_upright(pixels: NDArray[np.uint8], axis: Axis, most_px: float = MAX_THREAD_PX) -> Upright:
    """Cut the firing end out of ``pixels`` ``(rows, cols, 3)`` uint8, axis vertical, firing end up.

    ``axis`` is given in the picture's own pixels; threads wider than ``most_px`` are reduced to it.
    """
    shrink = min(1.0, most_px / axis.width)
    width = axis.width * shrink
    size = (int(np.ceil(_WIDE * width)), int(np.ceil(_HIGH * width)))
    axis_col, face_row = size[0] / 2, FACE_DOWN * size[1]
    turn = np.radians(axis.turn_deg)
    step = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]]) / shrink
    shift = np.array([axis.col, axis.row]) - step @ np.array([axis_col, face_row])
    to_photo = np.column_stack([step, shift])
    source, offset = _nearby(pixels, to_photo, size)
    local = to_photo.copy()
    local[:, 2] -= offset
    whole = int(1 / shrink + 0.05)
    if whole > 1:
        source = reduce_by(source, whole)
        local = local / whole
        local[:, 2] += 0.5 / whole - 0.5
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    crop = cv2.warpAffine(
        source, local, size, flags=flags, borderMode=cv2.BORDER_CONSTANT, borderValue=(118, 118, 118)
    )
    corners = to_photo @ np.array(
        [[0, size[0] - 1, size[0] - 1, 0], [0, 0, size[1] - 1, size[1] - 1], [1, 1, 1, 1]]
    )
    whole = bool(
        corners.min() >= 0
        and corners[0].max() <= pixels.shape[1] - 1
        and corners[1].max() <= pixels.shape[0] - 1
    )
    if whole:
        inside = np.ones(size[::-1], bool)
    else:
        frame = np.ones(pixels.shape[:2], np.uint8)
        inside = cv2.warpAffine(frame, to_photo, size, flags=cv2.INTER_NEAREST | cv2.WARP_INVERSE_MAP) > 0
    return Upright(np.asarray(crop, dtype=np.uint8), inside, axis_col, face_row, width, to_photo)


def _nearby(
    pixels: NDArray[np.uint8], to_photo: NDArray[np.float64], size: tuple[int, int]
) -> tuple[NDArray[np.uint8], NDArray[np.float64]]:
    """Cut the part of the photo that the crop needs (a view, not a copy), and its first column and row."""
    corners = to_photo @ np.array([[0, size[0], size[0], 0], [0, 0, size[1], size[1]], [1, 1, 1, 1]])
    low = np.clip(np.floor(corners.min(axis=1)) - 2, 0, None)
    high = np.ceil(corners.max(axis=1)) + 3
    part = pixels[int(low[1]) : int(high[1]), int(low[0]) : int(high[0])]
    return part, low
