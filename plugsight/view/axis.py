"""Where a plug's axis may lie: pairs of parallel sides in an outline."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.view.line import fit_line, middle_of
from plugsight.view.stretch import Stretch, find_sides, longest_stretch, stretch_scores

_STEP_DEG = 6.0
_COARSE_SIDE = 160
"""Longest side of the mask on which all directions are tried."""

_CLEAR_LEAD = 0.3
"""An end that is this much more open than the other is the firing end, whatever an unsure finder says: a hexagon's chamfer was
taken for a strap on 4 of 51 plugs that it was unsure of, and the outline was right on all (crops of family ``train``)."""

CANDIDATES = 5
"""So many directions are handed on, to be judged by the thread between the sides."""

_WITHIN_DEG = 51.0
"""Where the tip is surely known, the axis lies within this of the line to it from the shell's middle (crops of family ``train``: 31 at
most among 157)."""

_SAME_DEG, _SAME_WIDTH = 0.4, 0.01
"""Axes as near as this in direction and width are one."""

_STEADY_DEG, _CORRECTIONS = 0.1, 3
"""An axis that would move less than this is left, and after so many corrections any."""


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


def find_axes(
    mask: NDArray[np.bool_], tip: tuple[float, float] | None = None, *, sure: bool = True
) -> Iterator[Axis]:
    """Yield the likeliest axes of the outline ``mask`` ``(rows, cols)``, best first; none where no sides run parallel.

    With ``tip``, the ``(col, row)`` of the firing end, that end is up. Without it, the end that tapers off inside the
    picture is; likewise where the finder is not ``sure`` of the tip and the outline clearly says otherwise. Each is worked out when
    it is asked for, and starts that lead to the same axis are handed on once.
    """
    shrink = min(1.0, _COARSE_SIDE / max(mask.shape))
    size = (max(8, round(mask.shape[1] * shrink)), max(8, round(mask.shape[0] * shrink)))
    small = cv2.resize(mask.astype(np.uint8) * 255, size, interpolation=cv2.INTER_AREA) > 127
    turns = np.arange(0.0, 180.0, _STEP_DEG)
    away = _away_from_tip(mask, tip if sure else None, turns)
    tried = np.flatnonzero(away <= _WITHIN_DEG)
    pictures = [_turned(small, float(turn)) for turn in turns[tried]]
    scores = np.zeros(turns.size)
    scores[tried] = stretch_scores(
        find_sides(np.stack([p.upright for p in pictures]), np.stack([p.frame for p in pictures]))
    )
    peaks = (scores > 0) & (scores >= np.roll(scores, 1)) & (scores >= np.roll(scores, -1))
    found: list[Axis] = []
    for k in np.argsort(-scores * peaks)[: min(CANDIDATES, int(peaks.sum()))]:
        axis = _refined(mask, float(turns[k]), tip, sure=sure)
        if axis is not None and not any(_same(axis, other) for other in found):
            found.append(axis)
            yield axis


def _away_from_tip(
    mask: NDArray[np.bool_], tip: tuple[float, float] | None, turns: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Degrees from each of ``turns`` to the line from the outline's middle to the ``tip``; zeros without one."""
    rows, cols = np.nonzero(mask)
    if tip is None or rows.size == 0:
        return np.zeros(turns.shape)
    leans = math.degrees(math.atan2(tip[0] - cols.mean(), rows.mean() - tip[1]))
    return np.abs((turns - leans + 90.0) % 180.0 - 90.0)


def _same(one: Axis, other: Axis) -> bool:
    apart = abs((one.turn_deg - other.turn_deg + 180.0) % 360.0 - 180.0)
    return apart < _SAME_DEG and abs(one.width - other.width) < _SAME_WIDTH * other.width


@dataclass(frozen=True, slots=True, eq=False)
class _Turned:
    """A mask turned upright on a square that holds it whole, the picture's frame alike, and the 2 x 3 matrix that did it."""

    upright: NDArray[np.uint8]
    frame: NDArray[np.uint8]
    matrix: NDArray[np.float64]


def _turned(mask: NDArray[np.bool_], turn_deg: float) -> _Turned:
    rows, cols = mask.shape
    side = int(np.ceil(np.hypot(rows, cols))) + 2
    middle = ((cols - 1) / 2, (rows - 1) / 2)
    matrix = np.asarray(cv2.getRotationMatrix2D(middle, turn_deg, 1.0), dtype=np.float64)
    matrix[:, 2] += (side - 1) / 2 - np.array(middle)
    both = np.zeros(mask.shape, np.uint8)
    both[2:-2, 2:-2] = 2
    both += mask
    turned = np.asarray(cv2.warpAffine(both, matrix, (side, side), flags=cv2.INTER_NEAREST), dtype=np.uint8)
    return _Turned(turned & np.uint8(1), turned >> np.uint8(1), matrix)


def _followed(mask: NDArray[np.bool_], turn: float) -> tuple[float, _Turned, Stretch] | None:
    """Follow the bisector of the two sides from ``turn``."""
    corrections = 0
    while True:
        picture = _turned(mask, turn)
        stretch = longest_stretch(find_sides(picture.upright[None], picture.frame[None]))
        if stretch is None:
            return None
        lean = _lean(stretch)
        if abs(lean) < _STEADY_DEG or corrections == _CORRECTIONS:
            return turn, picture, stretch
        turn += lean
        corrections += 1


def _refined(
    mask: NDArray[np.bool_], turn: float, tip: tuple[float, float] | None, *, sure: bool
) -> Axis | None:
    """Follow the bisector of the two sides, then put the firing end up."""
    followed = _followed(mask, turn)
    if followed is None:
        return None
    turn, picture, stretch = followed
    upright, frame, matrix = picture.upright, picture.frame, picture.matrix
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
    edges = np.stack([stretch.left[rows], stretch.right[rows]])
    weights = np.ones(edges.shape)
    for turn in range(7):
        slope, start = fit_line(rows, edges, weights)
        if turn < 6:
            miss = np.abs(edges - start[:, None] - slope[:, None] * rows)
            spread = np.maximum(1.4826 * middle_of(miss), 0.5)
            weights = 1 / (1 + (miss / (2 * spread[:, None])) ** 2)
    return -math.degrees(float(np.arctan(slope).mean()))


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
