"""The two sides of the shell against the background, row by row, to a fraction of a pixel."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

_OUTWARD, _INWARD = 0.055, 0.13
"""The edge is looked for from so far outside to so far inside of the coarse crest line, in thread widths."""

_WEAKEST = 0.15
"""An edge counts from this share of the strongest in a common row."""

_ABOVE_NOISE = 4.0
"""And from this many times the background's own changes from pixel to pixel."""

_NO_NOISE = 0.25
"""Codes by which neighbouring pixels of a picture without any noise are taken to differ: rounding alone."""


@dataclass(frozen=True, slots=True, eq=False)
class Silhouette:
    """``rows`` ``(n,)``; ``left`` and ``right`` ``(n,)`` columns of the outermost edges, NaN where none was seen."""

    rows: NDArray[np.float64]
    left: NDArray[np.float64]
    right: NDArray[np.float64]


def trace_sides(
    pixels: NDArray[np.uint8],
    inside: NDArray[np.bool_],
    sides: tuple[NDArray[np.float64], NDArray[np.float64]],
    rows: NDArray[np.int_],
    width: float,
) -> Silhouette:
    """Trace both sides of the thread on an upright picture.

    ``pixels`` ``(rows, cols, 3)`` uint8; ``sides`` the expected columns of the left and right crest line at ``rows``
    ``(n,)``; ``width`` the thread's width in pixels. An edge is where colour changes fastest along the row, refined
    by a parabola through the three values about the peak.
    """
    left = _trace(pixels, inside, sides[0], rows, width, outward=-1)
    right = _trace(pixels, inside, sides[1], rows, width, outward=1)
    return Silhouette(rows.astype(np.float64), left, right)


def _trace(
    pixels: NDArray[np.uint8],
    inside: NDArray[np.bool_],
    expected: NDArray[np.float64],
    rows: NDArray[np.int_],
    width: float,
    *,
    outward: int,
) -> NDArray[np.float64]:
    """Sub-pixel columns ``(n,)`` of one side's outermost edges. ``outward`` is -1 for the left side, 1 for the right."""
    middle = np.rint(expected).astype(int)
    out = max(4, int(_OUTWARD * width))
    steps = np.arange(out, -max(6, int(_INWARD * width)) - 1, -1) * outward
    columns = middle[:, None] + steps[None, :]
    beyond = np.clip(columns + 3 * outward, 0, pixels.shape[1] - 1)
    ok = (columns > 2) & (columns < pixels.shape[1] - 3)
    columns = np.clip(columns, 0, pixels.shape[1] - 1)
    ok &= inside[rows[:, None], columns] & inside[rows[:, None], beyond]
    strip = pixels[rows[:, None], columns].astype(np.float32)
    soft = cv2.GaussianBlur(strip, (0, 0), sigmaX=1.2, sigmaY=0.7, borderType=cv2.BORDER_REPLICATE)
    change = np.zeros(columns.shape)
    change[:, 1:-1] = np.linalg.norm(soft[:, 2:] - soft[:, :-2], axis=2) / 2
    change[~ok] = 0
    peak = np.zeros_like(change, dtype=bool)
    peak[:, 1:-1] = (change[:, 1:-1] >= change[:, :-2]) & (change[:, 1:-1] > change[:, 2:])
    outermost = change[:, 1 : 1 + max(3, out // 2)]
    noise = float(np.median(outermost[outermost > 0])) if np.any(outermost > 0) else _NO_NOISE
    peak &= change >= max(_ABOVE_NOISE * noise, _WEAKEST * float(np.median(change.max(axis=1))))
    found = peak.any(axis=1)
    first = np.clip(peak.argmax(axis=1), 1, steps.size - 2)
    index = np.arange(rows.size)
    before, here, after = change[index, first - 1], change[index, first], change[index, first + 1]
    bend = before - 2 * here + after
    shift = np.where(bend < 0, 0.5 * (before - after) / np.where(bend < 0, bend, 1), 0.0)
    return np.where(found, middle + outward * (out - (first + np.clip(shift, -0.5, 0.5))), np.nan)
