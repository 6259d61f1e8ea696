"""The two sides of the shell against the background, row by row, to a fraction of a pixel."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

_REACH = 0.13
"""The edge is looked for this share of the thread's width to either side of where the coarse axis has it."""

_OUTERMOST = 0.15
"""The outermost edge at least this strong, as a share of the strongest in a common row, is the silhouette."""

_ABOVE_NOISE = 4.0
"""And at least this many times the background's own changes from pixel to pixel."""


@dataclass(frozen=True, slots=True, eq=False)
class Silhouette:
    """``rows`` ``(n,)``; ``left`` and ``right`` ``(n,)`` columns, NaN where no edge was seen."""

    rows: NDArray[np.float64]
    left: NDArray[np.float64]
    right: NDArray[np.float64]


def trace_sides(
    lab: NDArray[np.float32],
    inside: NDArray[np.bool_],
    sides: tuple[NDArray[np.float64], NDArray[np.float64]],
    rows: NDArray[np.int_],
    width: float,
) -> Silhouette:
    """Trace both sides of the thread on an upright picture.

    ``lab`` ``(rows, cols, 3)`` float32; ``sides`` the expected columns of the left and right side at ``rows`` ``(n,)``;
    ``width`` the thread's width in pixels. The edge is where colour changes fastest along the row, refined by a
    parabola through the three values about the peak.
    """
    reach = max(6, int(_REACH * width))
    left = _trace(lab, inside, sides[0], rows, reach, outward=-1)
    right = _trace(lab, inside, sides[1], rows, reach, outward=1)
    return Silhouette(rows.astype(np.float64), left, right)


def _trace(
    lab: NDArray[np.float32],
    inside: NDArray[np.bool_],
    expected: NDArray[np.float64],
    rows: NDArray[np.int_],
    reach: int,
    *,
    outward: int,
) -> NDArray[np.float64]:
    """Sub-pixel columns of one side. ``outward`` is -1 for the left side, 1 for the right."""
    middle = np.rint(expected).astype(int)
    steps = np.arange(reach, -reach - 1, -1) * outward
    columns = middle[:, None] + steps[None, :]
    ok = (columns > 0) & (columns < lab.shape[1] - 1)
    columns = np.clip(columns, 0, lab.shape[1] - 1)
    strip = lab[rows[:, None], columns]
    ok &= inside[rows[:, None], columns]
    soft = cv2.GaussianBlur(strip, (0, 0), sigmaX=1.0, sigmaY=0.6, borderType=cv2.BORDER_REPLICATE)
    change = np.zeros(columns.shape)
    change[:, 1:-1] = np.linalg.norm(soft[:, 2:] - soft[:, :-2], axis=2) / 2
    change[~ok] = 0
    peak = np.zeros_like(change, dtype=bool)
    peak[:, 1:-1] = (change[:, 1:-1] >= change[:, :-2]) & (change[:, 1:-1] > change[:, 2:])
    outermost = change[:, 2 : 2 + reach // 2]
    noise = float(np.percentile(outermost[outermost > 0], 60)) if np.any(outermost > 0) else 0.1
    floor = np.maximum(_ABOVE_NOISE * noise, _OUTERMOST * np.median(change.max(axis=1)))
    peak &= change >= floor
    found = peak.any(axis=1)
    first = np.clip(peak.argmax(axis=1), 1, steps.size - 2)
    index = np.arange(rows.size)
    before, at, after = change[index, first - 1], change[index, first], change[index, first + 1]
    bend = before - 2 * at + after
    shift = np.where(bend < 0, 0.5 * (before - after) / np.where(bend < 0, bend, 1), 0.0)
    position = middle + outward * (reach - (first + np.clip(shift, -0.5, 0.5)))
    return np.where(found, position, np.nan)
