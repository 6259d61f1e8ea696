"""The thread as a ruler: its period along the two sides of the silhouette."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from plugsight.view.crests import Period, Side, crest_width, find_crests, regress, solve, step
from plugsight.view.line import fit_line, middle_of
from plugsight.view.ripple import Ripple, choose, ripple_of
from plugsight.view.silhouette import Silhouette

LEAST_SHARE = 0.4
"""The period must explain this part of the sides' ripple, or the silhouette is no ruler (set on development renders)."""

FRONT_DEPTH = 0.75
"""The flanks' bands stand, on the mean, this part of the thread's radius before its axis: 0.80 by where they are read, on turns that
are 0.94 of the radius at half their depth (ISO 68-1); calibration renders agree."""

USUAL_NEARNESS = 0.054
"""Radius over distance of M14 at 130 mm; phones focus on a plug from 80 to 250 mm (common practice)."""

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
    near = np.geomspace(nearness / 2.4, nearness * 2.4, 31)
    periods = flank_px / (1 + FRONT_DEPTH * near)
    traces = [[ripple_of(sides.rows, x, flank_px) for x in side] for side in (sides.left, sides.right)]
    left, right = ([r for r in side if r is not None] for side in traces)
    ripples, period = choose((left, right), periods, near / nearness)
    signal = [_side(r, o, width) for r, o in zip(ripples, (-1, 1), strict=True) if r is not None]
    signal = [s for s in signal if s.y.size >= _FEWEST_ROWS]
    if not signal:
        return None
    mid, span = _extent(signal)
    if span < 2.8 * flank_px:
        return None
    centre, drift = period, 0.0
    for turn in range(6):
        moved, drift = _improve(signal, period, drift, mid, span)
        period = float(np.clip(moved, 0.98 * centre, 1.02 * centre))
        signal = [_reweighted(s, period, drift, mid) for s in signal]
        if turn == 2:
            signal = [_threaded(s, period, drift, mid) for s in signal]
    if min(s.y.size for s in signal) < _FEWEST_ROWS:
        return None
    share = _explained(signal, period, drift, mid)
    if share < LEAST_SHARE or all(_doubled(_fit(s, period, drift, mid)[0]) for s in signal):
        return None
    lines = [_fit(s, period, drift, mid)[0] for s in signal]
    outlines = lines
    if left and right and (ripples[0] is left[0]) != (ripples[1] is right[0]):
        alike = _outermost((left[0], right[0]), width, period, drift, mid)
        outlines = [_fit(s, period, drift, mid)[0] for s in alike]
    bisector: tuple[float, float] | None = None
    if len(outlines) == 2:
        slope = float(np.tan(np.mean([np.arctan(line[1]) for line in outlines])))
        bisector = (slope, float(np.mean([line[0] for line in outlines])) - slope * mid)
    across = crest_width(outlines) if len(outlines) == 2 else width
    crests = [find_crests(s, line, period, drift, mid) for s, line in zip(signal, lines, strict=True)]
    found = regress(crests, period, share, bisector, across)
    if found is None or bisector is not None:
        return found
    return replace(found, side_slope=float(lines[0][1]), side=signal[0].outward)


def _side(ripple: Ripple, outward: int, width: float) -> Side:
    """Rows and columns of one side without strays: those farther from the side's line than a thread is deep."""
    seen = np.isfinite(ripple.x)
    y, x = ripple.rows[seen], ripple.x[seen]
    keep = np.ones(y.size, bool)
    for _ in range(6):
        slope, start = fit_line(y, x, keep.astype(np.float64))
        miss = x - start - slope * y
        spread = max(1.4826 * float(middle_of(np.abs(miss))), 0.014 * width)
        keep = np.abs(miss - middle_of(miss)) < 2.5 * spread
    return Side(y[keep], x[keep], np.ones(int(keep.sum())), outward)


def _outermost(
    sides: tuple[Ripple, Ripple], width: float, period: float, drift: float, mid: float
) -> list[Side]:
    """Both sides by their outermost edges: an outer and an inner trace together would lean, whatever shows the period best."""
    found = [_side(side, outward, width) for side, outward in zip(sides, (-1, 1), strict=True)]
    found = [s for s in found if s.y.size >= _FEWEST_ROWS]
    for _ in range(3):
        found = [_reweighted(s, period, drift, mid) for s in found]
    return found


def _doubled(coefficients: NDArray[np.float64]) -> bool:
    """Whether the ripple repeats twice in the period: its first wave is nearly missing."""
    first, second = np.hypot(*coefficients[2:4]), np.hypot(*coefficients[4:6])
    return bool(first < 0.3 * second)


def _extent(signal: list[Side]) -> tuple[float, float]:
    """Middle row and span of all sides."""
    mid = float(np.mean([s.y.mean() for s in signal]))
    return mid, float(max(s.y.max() for s in signal) - min(s.y.min() for s in signal))


def _design(y: NDArray[np.float64], period: float, drift: float, mid: float) -> NDArray[np.float64]:
    """Constant, slope and two harmonics, ``(n, 6)``."""
    d = y - mid
    wave = np.exp(2j * np.pi * (d - 0.5 * drift * d * d) / period)
    twice = wave * wave
    return np.stack([np.ones_like(y), d, wave.real, wave.imag, twice.real, twice.imag], axis=1)


def _fit(
    side: Side, period: float, drift: float, mid: float
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Coefficients (constant, slope, waves) and residuals of one side."""
    design = _design(side.y, period, drift, mid)
    coefficients = solve(design, side.x, side.w)
    return coefficients, side.x - design @ coefficients


def _reweighted(side: Side, period: float, drift: float, mid: float) -> Side:
    """Side with less weight for rows that lie off the fit."""
    miss = np.abs(_fit(side, period, drift, mid)[1])
    spread = max(1.4826 * float(middle_of(miss)), 0.2)
    return replace(side, w=1 / (1 + (miss / (2 * spread)) ** 2) ** 2)


def _explained(signal: list[Side], period: float, drift: float, mid: float) -> float:
    """Share of the ripple about each side's line that the period explains, 0..1."""
    left_over, plain = 0.0, 0.0
    for side in signal:
        _, miss = _fit(side, period, drift, mid)
        line = np.stack([np.ones_like(side.y), side.y - mid], axis=1)
        smooth = side.x - line @ solve(line, side.x, side.w)
        left_over += float(side.w @ miss**2)
        plain += float(side.w @ smooth**2)
    return 1.0 - left_over / plain if plain > 0 else 0.0


def _slope_per_turn(design: NDArray[np.float64], coefficients: NDArray[np.float64]) -> NDArray[np.float64]:
    """Change ``(n,)`` of the fitted ripple for a turn of its phase: the harmonics' derivatives."""
    a, b, c, d = coefficients[2:]
    return np.asarray(2 * np.pi * (design[:, 2:] @ np.array([b, -a, 2 * d, -2 * c])), dtype=np.float64)


def _improve(signal: list[Side], period: float, drift: float, mid: float, span: float) -> tuple[float, float]:
    """One Gauss-Newton step in period and drift, the waves' coefficients projected out; steps are kept small."""
    left, right = np.diag([0.0, (0.03 / span) ** -2]), np.zeros(2)
    for side in signal:
        base = _design(side.y, period, drift, mid)
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
            return Side(side.y[keep], side.x[keep], side.w[keep], side.outward)
    return side
