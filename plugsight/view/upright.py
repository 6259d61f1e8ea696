"""The photo's part that holds the firing end, turned upright at the resolution that measuring needs."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.photo.reduce import reduce_by
from plugsight.view.axis import Axis

MAX_THREAD_PX = 480.0
"""Thread widths above this are reduced to it: 34 pixels per mm on M14, a tenth more than the tip network's crop takes from it."""

_WIDE, _ABOVE, _BELOW = 1.9, 0.97, 1.23
"""The crop's width, and its heights above and below the shell's end, in thread widths: strap, background for the card, and three
quarters of the thread's length."""

_THREAD_WIDE, _THREAD_ABOVE = 1.25, 0.02
"""The same where only the thread is looked at."""


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


def make_upright(
    pixels: NDArray[np.uint8], axis: Axis, most_px: float = MAX_THREAD_PX, *, thread_only: bool = False
) -> Upright:
    """Cut the firing end out of ``pixels`` ``(rows, cols, 3)`` uint8, axis vertical, firing end up.

    ``axis`` is given in the picture's own pixels; threads wider than ``most_px`` are reduced to it. With ``thread_only`` the crop
    holds no more than the thread and its edges.
    """
    shrink = min(1.0, most_px / axis.width)
    width = axis.width * shrink
    wide, above = (_THREAD_WIDE, _THREAD_ABOVE) if thread_only else (_WIDE, _ABOVE)
    size = (int(np.ceil(wide * width)), int(np.ceil((above + _BELOW) * width)))
    axis_col, face_row = size[0] / 2, above * width
    turn = np.radians(axis.turn_deg)
    step = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]]) / shrink
    shift = np.array([axis.col, axis.row]) - step @ np.array([axis_col, face_row])
    to_photo = np.column_stack([step, shift])
    source, offset = _nearby(pixels, to_photo, size)
    local = to_photo.copy()
    local[:, 2] -= offset
    whole = 1 << int(np.log2(1.05 / shrink))
    if whole > 1:
        source = reduce_by(source, whole)
        local = local / whole
        local[:, 2] += 0.5 / whole - 0.5
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    crop = cv2.warpAffine(
        source, local, size, flags=flags, borderMode=cv2.BORDER_CONSTANT, borderValue=(118, 118, 118)
    )
    return Upright(
        np.asarray(crop, dtype=np.uint8),
        _inside(pixels.shape, whole, to_photo, size),
        axis_col,
        face_row,
        width,
        to_photo,
    )


def _inside(
    shape: tuple[int, ...], margin: int, to_photo: NDArray[np.float64], size: tuple[int, int]
) -> NDArray[np.bool_]:
    """Where the crop of ``size`` (columns, rows) lies on the photo, ``margin`` pixels from its frame: drawn as a polygon."""
    low, right, bottom = margin, shape[1] - 1 - margin, shape[0] - 1 - margin
    frame = np.array([[low, right, right, low], [low, low, bottom, bottom], [1, 1, 1, 1]])
    corners = np.asarray(cv2.invertAffineTransform(to_photo), dtype=np.float64) @ frame
    drawn = np.zeros(size[::-1], np.uint8)
    fine = np.clip(np.rint(corners.T * 256), -(2**30), 2**30).astype(np.int32)
    cv2.fillConvexPoly(drawn, fine, 1, shift=8)
    return drawn.astype(bool)


def _nearby(
    pixels: NDArray[np.uint8], to_photo: NDArray[np.float64], size: tuple[int, int]
) -> tuple[NDArray[np.uint8], NDArray[np.float64]]:
    """Cut the part of the photo that the crop needs (a view, not a copy), and its first column and row."""
    corners = to_photo @ np.array([[0, size[0], size[0], 0], [0, 0, size[1], size[1]], [1, 1, 1, 1]])
    low = np.clip(np.floor(corners.min(axis=1)) - 2, 0, None)
    high = np.ceil(corners.max(axis=1)) + 3
    part = pixels[int(low[1]) : int(high[1]), int(low[0]) : int(high[0])]
    return part, low
