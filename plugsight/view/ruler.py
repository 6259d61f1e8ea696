"""The thread as a ruler: its period along the two sides of the silhouette."""

import numpy as np
from numpy.typing import NDArray

from plugsight.view.crests import Period, Side, crest_width, find_crests, regress, solve, step
from plugsight.view.line import fit_line, middle_of
from plugsight.view.silhouette import Silhouette

LEAST_SHARE = 0.4
"""The period must explain this part of the sides' ripple, or the silhouette is no ruler (set on development renders)."""

FRONT_DEPTH = 0.83
"""The flanks' bands stand, on the mean, this part of the thread's radius before its axis."""

USUAL_NEARNESS, _SPREAD = 0.054, 0.35
"""Radius over distance of M14 at 130 mm; phones focus on a plug from 80 to 250 mm (common practice)."""

_PRIOR_WEIGHT = 0.03

_FEWEST_ROWS = 20

_PLAIN_END = 3
"""The shell's plain end ring and the thread's run-out take up to this many periods."""


def measure_period(
    sides: Silhouette, width: float, flank_px: float, nearness: float = USUAL_NEARNESS
) -> Period | None:
    """Period of the thread from both sides at once. ``flank_px`` is its period on the front of the thread.

    ``width`` is the thread's width in pixels; ``nearness`` the thread's radius over the distance phones are usually held at: the front
    looks larger than the silhouette by ``FRONT_DEPTH`` of that, which bounds where the period is looked for. Each side is
    a line with a ripple of two harmonics; both share period and drift; rows that fit badly lose their weight.
    That finds every crest; then the crests' own peaks, which perspective and tilt leave in place while the valleys
    wander, give period and drift. None where fewer than three periods are seen or the ripple is not periodic.
    """
    start = [_plain(sides.rows, edge, width) for edge in (sides.left, sides.right)]
    start = [s for s in start if s.y.size >= _FEWEST_ROWS]
    if not start:
        return None
    mid, span = _extent(start)
    if span < 2.8 * flank_px:
        return None
    signal, period = _searched(start, flank_px, nearness, mid)
    centre, drift = period, 0.0
    for turn in range(6):
        moved, drift = _improve(signal, period, drift, mid, span)
        period = float(np.clip(moved, 0.98 * centre, 1.02 * centre))
        signal = [_reweighted(s, period, drift, mid) for s in signal]
        if turn == 2:
            signal = [_threaded(s, period, drift, mid) for s in signal]
    if min(s.y.size for s in signal) < _FEWEST_ROWS:
        return None
    share = float(_explained(signal, period, drift, mid))
    if share < LEAST_SHARE or all(_doubled(_fit(s, period, drift, mid)[0]) for s in signal):
        return None
    lines = [_fit(s, period, drift, mid)[0] for s in signal]
    bisector: tuple[float, float] | None = None
    if len(lines) == 2:
        slope = float(np.tan(np.mean([np.arctan(line[1]) for line in lines])))
        bisector = (slope, float(np.mean([line[0] for line in lines])) - slope * mid)
    across = crest_width(lines) if len(lines) == 2 else width
    crests = [
        find_crests(s, line, period, drift, mid, outward)
        for s, line, outward in zip(signal, lines, (-1, 1), strict=False)
    ]
    return regress(crests, period, share, bisector, across)


def _searched(start: list[Side], flank_px: float, nearness: float, mid: float) -> tuple[list[Side], float]:
    """Sides weighted by the best of the periods that the flanks allow, and that period; all are tried at once."""
    near = np.geomspace(nearness / 2.4, nearness * 2.4, 15)
    periods = flank_px / (1 + FRONT_DEPTH * near)
    signal = [Side(s.y, s.x, np.repeat(s.w[None], near.size, axis=0)) for s in start]
    for _ in range(2):
        signal = [_reweighted(s, periods, 0.0, mid) for s in signal]
    unusual = 0.5 * (np.log(near / nearness) / _SPREAD) ** 2
    best = int(np.argmax(_explained(signal, periods, 0.0, mid) - _PRIOR_WEIGHT * unusual))
    return [Side(s.y, s.x, s.w[best]) for s in signal], float(periods[best])


def _doubled(coefficients: NDArray[np.float64]) -> bool:
    """Whether the ripple repeats twice in the period: its first wave is nearly missing."""
    first, second = np.hypot(*coefficients[2:4]), np.hypot(*coefficients[4:6])
    return bool(first < 0.3 * second)


def _extent(signal: list[Side]) -> tuple[float, float]:
    """Middle row and span of all sides."""
    mid = float(np.mean([s.y.mean() for s in signal]))
    return mid, float(max(s.y.max() for s in signal) - min(s.y.min() for s in signal))


def _plain(rows: NDArray[np.float64], edge: NDArray[np.float64], width: float) -> Side:
    """Rows and columns of one side without strays: those farther from the side's line than a thread is deep."""
    seen = np.isfinite(edge)
    y, x = rows[seen], edge[seen]
    keep = np.ones(y.size, bool)
    if y.size < _FEWEST_ROWS:
        return Side(y, x, np.ones(y.size))
    for turn in range(7):
        slope, start = fit_line(y, x, keep.astype(np.float64))
        if turn == 6:
            break
        miss = x - start - slope * y
        spread = max(1.4826 * float(middle_of(np.abs(miss))), 0.014 * width)
        keep = np.abs(miss - middle_of(miss)) < 2.5 * spread
    return Side(y[keep], x[keep], np.ones(int(keep.sum())))


def _waves(
    y: NDArray[np.float64], period: float | NDArray[np.float64], drift: float, mid: float
) -> NDArray[np.complex128]:
    """The ripple's first wave at rows ``y`` ``(n,)``; ``(k, n)`` for ``k`` periods."""
    d = y - mid
    turns = (d - 0.5 * drift * d * d) / np.asarray(period)[..., None]
    return np.asarray(np.exp(2j * np.pi * turns), dtype=np.complex128)


def _design(y: NDArray[np.float64], wave: NDArray[np.complex128], mid: float) -> NDArray[np.float64]:
    """Constant, slope and two harmonics, ``(..., n, 6)``."""
    design = np.empty((*wave.shape, 6))
    twice = wave * wave
    design[..., 0], design[..., 1] = 1.0, y - mid
    design[..., 2], design[..., 3] = wave.real, wave.imag
    design[..., 4], design[..., 5] = twice.real, twice.imag
    return design


def _fit(
    side: Side, period: float | NDArray[np.float64], drift: float, mid: float
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Coefficients (constant, slope, waves) and residuals of one side, for one period or ``(k, ...)`` for ``k``."""
    design = _design(side.y, _waves(side.y, period, drift, mid), mid)
    coefficients = solve(design, side.x, side.w)
    return coefficients, side.x - (design @ coefficients[..., None])[..., 0]


def _reweighted(side: Side, period: float | NDArray[np.float64], drift: float, mid: float) -> Side:
    """Side with less weight for rows that lie off the fit."""
    miss = np.abs(_fit(side, period, drift, mid)[1])
    spread = np.maximum(1.4826 * middle_of(miss), 0.2)[..., None]
    return Side(side.y, side.x, 1 / (1 + (miss / (2 * spread)) ** 2) ** 2)


def _explained(
    signal: list[Side], period: float | NDArray[np.float64], drift: float, mid: float
) -> NDArray[np.float64]:
    """Share of the ripple about each side's line that the period explains, 0..1; for one period or each of several."""
    left_over, plain = np.zeros(np.shape(period)), np.zeros(np.shape(period))
    for side in signal:
        _, miss = _fit(side, period, drift, mid)
        line = np.stack([np.ones_like(side.y), side.y - mid], axis=1)
        smooth = side.x - (line @ solve(line, side.x, side.w)[..., None])[..., 0]
        left_over += (side.w * miss**2).sum(axis=-1)
        plain += (side.w * smooth**2).sum(axis=-1)
    return np.where(plain > 0, 1.0 - left_over / np.maximum(plain, 1e-12), 0.0)


def _slope_per_turn(design: NDArray[np.float64], coefficients: NDArray[np.float64]) -> NDArray[np.float64]:
    """Change ``(n,)`` of the fitted ripple for a turn of its phase: the harmonics' derivatives."""
    a, b, c, d = coefficients[2:]
    return np.asarray(2 * np.pi * (design[:, 2:] @ np.array([b, -a, 2 * d, -2 * c])), dtype=np.float64)


def _improve(signal: list[Side], period: float, drift: float, mid: float, span: float) -> tuple[float, float]:
    """One Gauss-Newton step in period and drift, the waves' coefficients projected out; steps are kept small."""
    left, right = np.diag([0.0, (0.03 / span) ** -2]), np.zeros(2)
    for side in signal:
        wave = _waves(side.y, period, drift, mid)
        base = _design(side.y, wave, mid)
        coefficients = solve(base, side.x, side.w)
        miss = side.x - base @ coefficients
        per_turn = _slope_per_turn(base, coefficients)
        d = side.y - mid
        moved = np.stack([(0.5 * drift * d * d - d) / period**2, -d * d / (2 * period)], axis=1)
        slopes = per_turn[:, None] * moved
        slopes = slopes - base @ np.stack([solve(base, slope, side.w) for slope in slopes.T], axis=1)
        spread = max(float(side.w @ miss**2) / float(side.w.sum()), 0.01)
        left += (slopes * side.w[:, None]).T @ slopes / spread
        right += (slopes * side.w[:, None]).T @ miss / spread
    right[1] -= drift * (0.03 / span) ** -2
    move = np.linalg.solve(left + 1e-12 * np.eye(2), right)
    return period + float(np.clip(move[0], -0.02 * period, 0.02 * period)), drift + float(move[1])


def _threaded(side: Side, period: float, drift: float, mid: float) -> Side:
    """Side without the rows of the plain end ring: those above the first full period that fits."""
    _, miss = _fit(side, period, drift, mid)
    good = np.abs(miss) < 2.5 * max(1.4826 * float(np.median(np.abs(miss))), 0.3)
    edges = np.arange(side.y.min(), side.y.max(), period / 2)
    for edge in edges[: 2 * _PLAIN_END]:
        window = (side.y >= edge) & (side.y < edge + period)
        if window.sum() * step(side) > 0.4 * period and good[window].mean() > 0.7:
            keep = side.y >= edge
            return Side(side.y[keep], side.x[keep], side.w[keep])
    return side
