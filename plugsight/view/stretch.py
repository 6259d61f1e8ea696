"""Stretches of rows over which both sides of a turned outline run parallel; many turns are judged at once."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

_WIDTH_BAND = 0.12
"""Rows belong to the shell where their width is within this share of the shell's: a thread is 0.08 of it deep a side."""

_SHORTEST = 0.22
"""A shell shows parallel sides over at least this share of its width (about three turns of M14x1.25)."""

_CREST = 0.85
"""Share of the rows' widths that lies below what is taken for the width over the crests."""

_SHARES = np.array((0.4, 0.6, 0.8, 0.92))
"""The shell's width is tried at these shares of the rows' widths: wider parts may lie below it."""

_FEWEST_ROWS, _NARROWEST_PX = 8, 12.0
_NEVER = -(10**6)


@dataclass(frozen=True, slots=True, eq=False)
class Stretch:
    """Rows ``start`` to ``stop`` of a turned outline over which both sides run parallel, ``width`` apart.

    ``left``, ``right`` ``(n,)`` are the sides' columns for all rows, ``same`` ``(n,)`` bool the rows that fit.
    """

    start: int
    stop: int
    left: NDArray[np.float64]
    right: NDArray[np.float64]
    same: NDArray[np.bool_]
    width: float


@dataclass(frozen=True, slots=True, eq=False)
class Sides:
    """Columns of the outermost outline pixels ``(turns, rows)``, and where both lie inside the picture."""

    left: NDArray[np.float64]
    right: NDArray[np.float64]
    seen: NDArray[np.bool_]


def find_sides(upright: NDArray[np.uint8], frame: NDArray[np.uint8]) -> Sides:
    """Find the sides of outlines ``(turns, rows, cols)``, 0 or 1; ``frame`` is 1 where the picture reaches."""
    solid = upright.view(bool)
    occupied = solid.any(axis=2)
    first = solid.argmax(axis=2)
    last = solid.shape[2] - 1 - solid[:, :, ::-1].argmax(axis=2)
    turn, row = np.ogrid[: solid.shape[0], : solid.shape[1]]
    seen = occupied & (frame[turn, row, first] > 0) & (frame[turn, row, last] > 0)
    return Sides((first * occupied).astype(np.float64), (last * occupied).astype(np.float64), seen)


@dataclass(frozen=True, slots=True, eq=False)
class _Runs:
    """Longest runs for every turn and width tried, ``(turns, shares)``; ``same`` ``(turns, shares, rows)``."""

    score: NDArray[np.float64]
    start: NDArray[np.int_]
    stop: NDArray[np.int_]
    same: NDArray[np.bool_]


def stretch_scores(sides: Sides) -> NDArray[np.float64]:
    """How long and how parallel the best stretch of each turn is, ``(turns,)`` pixels; 0 where there is none."""
    return np.asarray(_runs(sides).score.max(axis=1), dtype=np.float64)


def longest_stretch(sides: Sides) -> Stretch | None:
    """Longest stretch of the first turn, or None where none is long enough."""
    runs = _runs(sides)
    k = int(np.argmax(runs.score[0]))
    if runs.score[0, k] <= 0:
        return None
    start, stop, same = int(runs.start[0, k]), int(runs.stop[0, k]), runs.same[0, k]
    widths = np.sort((sides.right[0] - sides.left[0])[start:stop][same[start:stop]])
    width = float(widths[int(_CREST * (widths.size - 1))])
    return Stretch(start, stop, sides.left[0], sides.right[0], same, width)


def _runs(sides: Sides) -> _Runs:
    index = np.arange(sides.seen.shape[1])
    width = sides.right - sides.left
    count = sides.seen.sum(axis=1)
    order = np.sort(np.where(sides.seen, width, np.inf), axis=1)
    at = (_SHARES[None] * np.maximum(count - 1, 0)[:, None]).astype(int)
    typical = np.take_along_axis(order, at, axis=1)
    usable = (count >= _FEWEST_ROWS)[:, None] & (typical >= _NARROWEST_PX)
    typical = np.where(usable, typical, _NARROWEST_PX)
    off = np.abs(width[:, None, :] - typical[..., None])
    same = sides.seen[:, None, :] & (off < _WIDTH_BAND * typical[..., None])
    start, stop = _longest_runs(same, np.maximum(2, (0.04 * typical).astype(int)))
    inside = same & (index >= start[..., None]) & (index < stop[..., None])
    rough, drift = _straightness(inside, sides, index)
    straight = np.exp(-((rough / (0.05 * typical)) ** 2) / 2 - ((drift / 0.12) ** 2) / 2)
    long_enough = usable & (stop - start >= _SHORTEST * typical)
    return _Runs(np.where(long_enough, (stop - start) * straight, 0.0), start, stop, same)


def _longest_runs(
    flags: NDArray[np.bool_], gap: NDArray[np.int_]
) -> tuple[NDArray[np.int_], NDArray[np.int_]]:
    """Start and stop of the longest run of True along the last axis, bridging holes of up to ``gap``."""
    index = np.arange(flags.shape[-1])
    last = np.maximum.accumulate(np.where(flags, index, _NEVER), axis=-1)
    before = np.full_like(last, _NEVER)
    before[..., 1:] = last[..., :-1]
    begins = flags & (index - before > gap[..., None] + 1)
    first = np.maximum.accumulate(np.where(begins, index, -1), axis=-1)
    length = np.where(flags, index - first, -1)
    end = length.argmax(axis=-1)
    start = np.take_along_axis(first, end[..., None], axis=-1)[..., 0]
    found = flags.any(axis=-1)
    return np.where(found, start, 0), np.where(found, end + 1, 0)


def _straightness(
    inside: NDArray[np.bool_], sides: Sides, index: NDArray[np.int_]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Larger standard deviation of the two sides about their lines, and the lines' mean slope, ``(turns, shares)``."""
    y = np.broadcast_to(index.astype(np.float64), sides.left.shape)
    columns = [np.ones_like(y), y, y * y]
    for x in (sides.left, sides.right):
        columns += [x, x * y, x * x]
    sums = inside.astype(np.float64) @ np.stack(columns, axis=2)
    n, by, byy = np.maximum(sums[..., 0], 1.0), sums[..., 1], sums[..., 2]
    spread_y = np.maximum(byy - by * by / n, 1e-9)
    rough, drift = np.zeros(n.shape), np.zeros(n.shape)
    for k in (3, 6):
        sx, sxy, sxx = sums[..., k], sums[..., k + 1], sums[..., k + 2]
        slope = (sxy - sx * by / n) / spread_y
        left_over = sxx - sx * sx / n - slope * slope * spread_y
        rough = np.maximum(rough, np.sqrt(np.maximum(left_over, 0.0) / n))
        drift += slope / 2
    return rough, drift
