"""The plug's axis: the two parallel sides of its threaded shell, and which way the firing end looks."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.vocabulary.refusal import NotFound

_STEP_DEG = 6.0
_WIDTH_BAND = 0.10
"""Rows belong to the shell where their width is within this share of the shell's: a thread is 0.08 of it deep a side."""

_SHORTEST = 0.22
"""A shell shows parallel sides over at least this share of its width (about three turns of M14x1.25)."""


@dataclass(frozen=True, slots=True)
class Axis:
    """Where the shell stands, in pixels of the picture the mask was made from.

    ``turn_deg`` turns the picture upright: the axis' clockwise lean from upright. ``col, row`` is the point on the axis
    at the shell's upper end, ``width`` the distance between its sides, ``length`` of the parallel stretch, ``top`` how far
    the plug reaches above the shell along the axis.
    """

    turn_deg: float
    col: float
    row: float
    width: float
    length: float
    top: float


@dataclass(frozen=True, slots=True, eq=False)
class _Stretch:
    score: float
    start: int
    stop: int
    left: NDArray[np.float64]
    right: NDArray[np.float64]
    seen: NDArray[np.bool_]
    width: float


def find_axis(mask: NDArray[np.bool_]) -> Axis | NotFound:
    """Axis of the plug whose outline is ``mask`` ``(rows, cols)`` bool.

    ``NotFound`` where no two sides run parallel for long enough: not a plug, or seen too nearly from its end.
    """
    best_turn, best = 0.0, _measure(mask, 0.0)[0]
    for turn in np.arange(_STEP_DEG, 180.0, _STEP_DEG):
        stretch = _measure(mask, float(turn))[0]
        if stretch is not None and (best is None or stretch.score > best.score):
            best_turn, best = float(turn), stretch
    if best is None:
        return _no_sides()
    turn = best_turn
    for _ in range(3):
        lean = _lean(best)
        turn += lean
        again = _measure(mask, turn)[0]
        if again is None:
            return _no_sides()
        best = again
        if abs(lean) < 0.05:
            break
    return _oriented(mask, turn)


def _no_sides() -> NotFound:
    return NotFound(
        "no plug thread with two parallel sides was found",
        "Take the photo from the side, with at least four turns of the thread in the picture",
    )


def turned(
    mask: NDArray[np.bool_], turn_deg: float
) -> tuple[NDArray[np.uint8], NDArray[np.uint8], NDArray[np.float64]]:
    """Mask turned upright on a square that holds it whole, the frame turned alike, and the 2 x 3 matrix that did it."""
    rows, cols = mask.shape
    side = int(np.ceil(np.hypot(rows, cols))) + 2
    matrix = np.asarray(
        cv2.getRotationMatrix2D(((cols - 1) / 2, (rows - 1) / 2), turn_deg, 1.0), dtype=np.float64
    )
    matrix[:, 2] += (side - 1) / 2 - np.array([(cols - 1) / 2, (rows - 1) / 2])
    turned_mask = cv2.warpAffine(mask.astype(np.uint8), matrix, (side, side), flags=cv2.INTER_NEAREST)
    inner = np.zeros(mask.shape, np.uint8)
    inner[2:-2, 2:-2] = 1
    frame = cv2.warpAffine(inner, matrix, (side, side), flags=cv2.INTER_NEAREST)
    return np.asarray(turned_mask, dtype=np.uint8), np.asarray(frame, dtype=np.uint8), matrix


def _measure(mask: NDArray[np.bool_], turn_deg: float) -> tuple[_Stretch | None, NDArray[np.float64]]:
    upright, frame, matrix = turned(mask, turn_deg)
    size = upright.shape[1]
    occupied = upright.any(axis=1)
    left = np.where(occupied, upright.argmax(axis=1), 0).astype(np.float64)
    right = np.where(occupied, size - 1 - upright[:, ::-1].argmax(axis=1), 0).astype(np.float64)
    index = np.arange(size)
    seen = occupied & (frame[index, left.astype(int)] > 0) & (frame[index, right.astype(int)] > 0)
    if seen.sum() < 8:
        return None, matrix
    width = right - left
    best: _Stretch | None = None
    order = np.sort(width[seen])
    for share in (0.35, 0.5, 0.65, 0.8, 0.92):
        typical = order[int(share * (order.size - 1))]
        if typical < 12:
            continue
        same = seen & (np.abs(width - typical) < _WIDTH_BAND * typical)
        start, stop = _longest_run(same, gap=max(2, int(0.04 * typical)))
        if stop - start < _SHORTEST * typical:
            continue
        middle = (left + right)[start:stop] / 2
        usable = same[start:stop]
        drift = np.polyfit(index[start:stop][usable], middle[usable], 1)
        wobble = float(np.std(middle[usable] - np.polyval(drift, index[start:stop][usable])))
        sides = [_roughness(index[start:stop][usable], edge[start:stop][usable]) for edge in (left, right)]
        lean = abs(np.degrees(np.arctan(drift[0])))
        score = (stop - start) * np.exp(
            -((wobble / (0.02 * typical)) ** 2) / 2 - (max(sides) / (0.035 * typical)) ** 2 / 2
        )
        score *= float(np.exp(-((lean / 6) ** 2) / 2))
        if best is None or score > best.score:
            best = _Stretch(
                float(score), start, stop, left, right, same, float(np.median(width[start:stop][usable]))
            )
    return best, matrix


def _roughness(index: NDArray[np.int_], edge: NDArray[np.float64]) -> float:
    return float(np.std(edge - np.polyval(np.polyfit(index, edge, 1), index)))


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


def _lean(stretch: _Stretch) -> float:
    """Degrees by which the bisector of the two sides leans, from a fit that gives little weight to strays."""
    rows = np.arange(stretch.start, stretch.stop, dtype=np.float64)
    keep = stretch.seen[stretch.start : stretch.stop]
    slopes = []
    for edge in (stretch.left, stretch.right):
        y, x = rows[keep], edge[stretch.start : stretch.stop][keep]
        weight = np.ones_like(y)
        fit = np.polyfit(y, x, 1)
        for _ in range(6):
            miss = x - np.polyval(fit, y)
            spread = max(1.4826 * float(np.median(np.abs(miss))), 0.5)
            weight = 1 / (1 + (miss / (2 * spread)) ** 2)
            fit = np.polyfit(y, x, 1, w=np.sqrt(weight))
        slopes.append(np.arctan(fit[0]))
    return -float(np.degrees(np.mean(slopes)))


def _oriented(mask: NDArray[np.bool_], turn: float) -> Axis | NotFound:
    """Choose the end that tapers off inside the picture as the firing end, and turn it up."""
    stretch, matrix = _measure(mask, turn)
    if stretch is None:
        return _no_sides()
    upright, frame, _ = turned(mask, turn)
    above = _openness(upright, frame, stretch, upward=True)
    below = _openness(upright, frame, stretch, upward=False)
    if below > above:
        return _oriented_up(mask, turn + 180.0)
    return _result(stretch, matrix, upright, turn)


def _oriented_up(mask: NDArray[np.bool_], turn: float) -> Axis | NotFound:
    stretch, matrix = _measure(mask, turn)
    if stretch is None:
        return _no_sides()
    return _result(stretch, matrix, turned(mask, turn)[0], turn)


def _result(stretch: _Stretch, matrix: NDArray[np.float64], upright: NDArray[np.uint8], turn: float) -> Axis:
    back = np.asarray(cv2.invertAffineTransform(matrix), dtype=np.float64)
    near = slice(stretch.start, max(stretch.start + 2, (stretch.start + stretch.stop) // 2))
    keep = stretch.seen[near]
    middle = float(np.median((stretch.left[near] + stretch.right[near])[keep] / 2))
    col, row = back @ np.array([middle, stretch.start, 1.0])
    top = float(stretch.start - int(np.argmax(upright.any(axis=1))))
    return Axis(
        turn_deg=(turn + 180.0) % 360.0 - 180.0,
        col=float(col),
        row=float(row),
        width=stretch.width,
        length=float(stretch.stop - stretch.start),
        top=top,
    )


def _openness(
    upright: NDArray[np.uint8], frame: NDArray[np.uint8], stretch: _Stretch, *, upward: bool
) -> float:
    """How much one end looks like a firing end: narrower than the shell, and ending inside the picture, -1..1."""
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
