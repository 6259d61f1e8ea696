"""Where a plug's axis may lie: pairs of parallel sides in an outline."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

_STEP_DEG = 6.0
_COARSE_SIDE = 160
"""Longest side of the mask on which all directions are tried."""

_WIDTH_BAND = 0.12
"""Rows belong to the shell where their width is within this share of the shell's: a thread is 0.08 of it deep a side."""

_SHORTEST = 0.22
"""A shell shows parallel sides over at least this share of its width (about three turns of M14x1.25)."""

_CREST = 85
"""Percentile of the rows' widths that is taken for the width over the crests."""

_CLEAR_LEAD = 0.3
"""An end that is this much more open than the other is the firing end, whatever an unsure finder says: a hexagon's chamfer was
taken for a strap on 4 of 51 plugs that it was unsure of, and the outline was right on all (crops of family ``train``)."""

CANDIDATES = 5
"""So many directions are handed on, to be judged by the thread between the sides."""


@dataclass(frozen=True, slots=True)
class Axis:
    """Where a shell may stand, in pixels of the picture the mask was made from.

    ``turn_deg`` turns the picture upright: the axis' clockwise lean from upright. ``col, row`` is the point on the axis
    at the shell's upper end, ``width`` the distance between its sides, ``length`` of the parallel stretch.
    """

    turn_deg: float
    col: float
    row: float
    width: float
    length: float


@dataclass(frozen=True, slots=True, eq=False)
class Stretch:
    """Rows ``start`` to ``stop`` of a turned outline over which both sides run parallel, ``width`` apart.

    ``left``, ``right`` ``(n,)`` are the sides' columns for all rows, ``same`` ``(n,)`` bool the rows that fit.
    """

    score: float
    start: int
    stop: int
    left: NDArray[np.float64]
    right: NDArray[np.float64]
    same: NDArray[np.bool_]
    width: float


def find_axes(
    mask: NDArray[np.bool_], tip: tuple[float, float] | None = None, *, sure: bool = True
) -> list[Axis]:
    """Return the likeliest axes of the outline ``mask`` ``(rows, cols)``, best first; empty where no sides run parallel.

    With ``tip``, the ``(col, row)`` of the firing end, that end is up. Without it, the end that tapers off inside the
    picture is; likewise where the finder is not ``sure`` of the tip and the outline clearly says otherwise.
    """
    shrink = min(1.0, _COARSE_SIDE / max(mask.shape))
    size = (max(8, round(mask.shape[1] * shrink)), max(8, round(mask.shape[0] * shrink)))
    small = cv2.resize(mask.astype(np.uint8) * 255, size, interpolation=cv2.INTER_AREA) > 127
    turns = np.arange(0.0, 180.0, _STEP_DEG)
    scores = np.zeros(turns.size)
    for k, turn in enumerate(turns):
        stretch = longest_stretch(*turned(small, float(turn))[:2])
        scores[k] = 0.0 if stretch is None else stretch.score
    peaks = (scores > 0) & (scores >= np.roll(scores, 1)) & (scores >= np.roll(scores, -1))
    order = np.argsort(-scores * peaks)[: min(CANDIDATES, int(peaks.sum()))]
    found = [_refined(mask, float(turns[k]), tip, sure=sure) for k in order]
    return [axis for axis in found if axis is not None]


def turned(
    mask: NDArray[np.bool_], turn_deg: float
) -> tuple[NDArray[np.uint8], NDArray[np.uint8], NDArray[np.float64]]:
    """Mask turned upright on a square that holds it whole, the frame turned alike, and the 2 x 3 matrix that did it."""
    rows, cols = mask.shape
    side = int(np.ceil(np.hypot(rows, cols))) + 2
    middle = ((cols - 1) / 2, (rows - 1) / 2)
    matrix = np.asarray(cv2.getRotationMatrix2D(middle, turn_deg, 1.0), dtype=np.float64)
    matrix[:, 2] += (side - 1) / 2 - np.array(middle)
    both = np.zeros(mask.shape, np.uint8)
    both[2:-2, 2:-2] = 2
    both += mask
    turned_both = np.asarray(
        cv2.warpAffine(both, matrix, (side, side), flags=cv2.INTER_NEAREST), dtype=np.uint8
    )
    return turned_both & np.uint8(1), turned_both >> np.uint8(1), matrix


def longest_stretch(upright: NDArray[np.uint8], frame: NDArray[np.uint8]) -> Stretch | None:
    """Longest stretch of rows with parallel sides of a turned outline, or None where none is long enough."""
    size = upright.shape[1]
    occupied = upright.any(axis=1)
    left = np.where(occupied, upright.argmax(axis=1), 0).astype(np.float64)
    right = np.where(occupied, size - 1 - upright[:, ::-1].argmax(axis=1), 0).astype(np.float64)
    index = np.arange(upright.shape[0])
    seen = occupied & (frame[index, left.astype(int)] > 0) & (frame[index, right.astype(int)] > 0)
    if seen.sum() < 8:
        return None
    width = right - left
    order = np.sort(width[seen])
    best: Stretch | None = None
    for share in (0.4, 0.6, 0.8, 0.92):
        typical = float(order[int(share * (order.size - 1))])
        if typical < 12:
            continue
        same = seen & (np.abs(width - typical) < _WIDTH_BAND * typical)
        start, stop = _longest_run(same, gap=max(2, int(0.04 * typical)))
        if stop - start < _SHORTEST * typical:
            continue
        rows = index[start:stop][same[start:stop]]
        (slope_left, rough_left), (slope_right, rough_right) = (
            _line(rows, left[rows]),
            _line(rows, right[rows]),
        )
        rough, drift = max(rough_left, rough_right), (slope_left + slope_right) / 2
        score = (stop - start) * np.exp(-((rough / (0.05 * typical)) ** 2) / 2 - ((drift / 0.12) ** 2) / 2)
        if best is None or score > best.score:
            best = Stretch(
                float(score), start, stop, left, right, same, float(np.percentile(width[rows], _CREST))
            )
    return best


def _line(rows: NDArray[np.int_], edge: NDArray[np.float64]) -> tuple[float, float]:
    """Slope of the least-squares line, and the standard deviation about it."""
    y, x = rows - rows.mean(), edge - edge.mean()
    slope = float(y @ x) / max(float(y @ y), 1e-9)
    return slope, float(np.sqrt(np.mean((x - slope * y) ** 2)))


def _longest_run(flags: NDArray[np.bool_], gap: int) -> tuple[int, int]:
    """Start and stop of the longest run of True, bridging holes of up to ``gap``."""
    hits = np.flatnonzero(flags)
    if hits.size == 0:
        return 0, 0
    breaks = np.flatnonzero(np.diff(hits) > gap + 1)
    starts = np.concatenate([[0], breaks + 1])
    stops = np.concatenate([breaks, [hits.size - 1]])
    k = int(np.argmax(hits[stops] - hits[starts]))
    return int(hits[starts[k]]), int(hits[stops[k]]) + 1


def _refined(
    mask: NDArray[np.bool_], turn: float, tip: tuple[float, float] | None, *, sure: bool
) -> Axis | None:
    """Follow the bisector of the two sides, then put the firing end up."""
    for _ in range(3):
        upright, frame, matrix = turned(mask, turn)
        stretch = longest_stretch(upright, frame)
        if stretch is None:
            return None
        lean = _lean(stretch)
        if abs(lean) < 0.1:
            break
        turn += lean
    upright, frame, matrix = turned(mask, turn)
    stretch = longest_stretch(upright, frame)
    if stretch is None:
        return None
    flip = _upside_down(upright, frame, stretch, None if tip is None else matrix @ (*tip, 1.0), sure=sure)
    near = slice(stretch.start, stretch.stop)
    middle = float(np.median((stretch.left[near] + stretch.right[near])[stretch.same[near]] / 2))
    back = np.asarray(cv2.invertAffineTransform(matrix), dtype=np.float64)
    col, row = back @ np.array([middle, stretch.stop - 1.0 if flip else stretch.start, 1.0])
    return Axis(
        turn_deg=(turn + (180.0 if flip else 0.0) + 180.0) % 360.0 - 180.0,
        col=float(col),
        row=float(row),
        width=stretch.width,
        length=float(stretch.stop - stretch.start),
    )


def _upside_down(
    upright: NDArray[np.uint8],
    frame: NDArray[np.uint8],
    stretch: Stretch,
    tip: NDArray[np.float64] | None,
    *,
    sure: bool,
) -> bool:
    """Whether the firing end is below: by the ``tip`` seen, or by the ends of the outline where no sure tip is."""
    if tip is not None and sure:
        return bool(tip[1] > (stretch.start + stretch.stop) / 2)
    below = _openness(upright, frame, stretch, upward=False)
    lead = below - _openness(upright, frame, stretch, upward=True)
    if tip is None or abs(lead) > _CLEAR_LEAD:
        return lead > 0
    return bool(tip[1] > (stretch.start + stretch.stop) / 2)


def _lean(stretch: Stretch) -> float:
    """Degrees by which the bisector of the two sides leans, from a fit that gives little weight to strays."""
    rows = np.flatnonzero(stretch.same[stretch.start : stretch.stop]) + stretch.start
    slopes = []
    for edge in (stretch.left, stretch.right):
        x = edge[rows]
        fit = np.polyfit(rows, x, 1)
        for _ in range(6):
            miss = x - np.polyval(fit, rows)
            spread = max(1.4826 * float(np.median(np.abs(miss))), 0.5)
            fit = np.polyfit(rows, x, 1, w=1 / np.sqrt(1 + (miss / (2 * spread)) ** 2))
        slopes.append(np.arctan(fit[0]))
    return -float(np.degrees(np.mean(slopes)))


def _openness(
    upright: NDArray[np.uint8], frame: NDArray[np.uint8], stretch: Stretch, *, upward: bool
) -> float:
    """How much one end looks like a firing end: narrower than the shell, and ending inside the picture."""
    reach = int(1.1 * stretch.width)
    if upward:
        rows = np.arange(stretch.start - 1, max(-1, stretch.start - reach), -1)
    else:
        rows = np.arange(stretch.stop, min(upright.shape[0], stretch.stop + reach))
    if rows.size == 0:
        return -1.0
    middle = int(np.median((stretch.left + stretch.right)[stretch.start : stretch.stop] / 2))
    half = int(0.75 * stretch.width)
    window = slice(max(0, middle - half), middle + half)
    inside = frame[rows, window].mean(axis=1)
    share = upright[rows, window].sum(axis=1) / stretch.width
    cut = float(np.mean(inside < 0.5))
    wide = float(np.mean(share > 0.97))
    ends = float(np.mean(share[inside > 0.5] < 0.02)) if np.any(inside > 0.5) else 0.0
    narrow = float(np.mean((share > 0.02) & (share < 0.8)))
    return ends + 0.5 * narrow - cut - wide
