"""The thread as a ruler: its period along the two sides of the silhouette."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plugsight.view.silhouette import Silhouette

_HARMONICS = 2

LEAST_SHARE = 0.4
"""The period must explain this part of the sides' ripple, or the silhouette is no ruler (set on development renders)."""

FRONT_DEPTH = 0.83
"""The flanks' bands stand, on the mean, this part of the thread's radius before its axis."""

USUAL_NEARNESS, _SPREAD = 0.054, 0.35
"""Radius over distance of M14 at 130 mm; phones focus on a plug from 80 to 250 mm (common practice)."""

_PRIOR_WEIGHT = 0.03
_U_SURE, _U_UNSURE, _SURE_SHARE = 0.0012, 0.02, 0.9
"""Relative standard uncertainty of a period besides what its crests show: the first, and the second for every unit of
share below ``_SURE_SHARE`` (development renders)."""

_FEWEST_ROWS = 20

_PLAIN_END = 3
"""The shell's plain end ring and the thread's run-out take up to this many periods."""

_DRIFT_PRIOR = 0.004
"""Standard deviation of the period's relative change per period: 2 sin(tilt) P / D, tilt 12 degrees at 130 mm."""


@dataclass(frozen=True, slots=True)
class Period:
    """The thread's period on the silhouette, at ``mid_row``.

    ``px`` with standard uncertainty ``u_px``; ``drift`` the relative change of the period per pixel down the picture with
    ``u_drift``; ``crests`` how many periods were seen; ``share`` the part of the sides' ripple that they explain;
    ``axis_line`` the bisector of the two sides as ``(slope, column at row 0)``, None where only one side was seen;
    ``crest_width_px`` from crest line to crest line.
    """

    px: float
    u_px: float
    drift: float
    u_drift: float
    crests: float
    share: float
    mid_row: float
    axis_line: tuple[float, float] | None
    crest_width_px: float


@dataclass(frozen=True, slots=True, eq=False)
class _Side:
    y: NDArray[np.float64]
    x: NDArray[np.float64]
    w: NDArray[np.float64]


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
    signal, period, drift = _searched(start, flank_px, nearness, mid)
    centre = period
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
    bisector: tuple[float, float] | None = None
    if len(lines) == 2:
        slope = float(np.tan(np.mean([np.arctan(line[1]) for line in lines])))
        bisector = (slope, float(np.mean([line[0] for line in lines])) - slope * mid)
    across = _crest_width(lines) if len(lines) == 2 else width
    crests = [
        _crests(s, line, period, drift, mid, outward)
        for s, line, outward in zip(signal, lines, (-1, 1), strict=False)
    ]
    return _regress(crests, period, share, bisector, across)


def _searched(
    start: list[_Side], flank_px: float, nearness: float, mid: float
) -> tuple[list[_Side], float, float]:
    """Sides weighted by the best of the periods that the flanks allow, that period, and no drift."""
    best, answer = -np.inf, (start, flank_px / (1 + FRONT_DEPTH * nearness), 0.0)
    for near in np.geomspace(nearness / 2.4, nearness * 2.4, 15):
        period = float(flank_px / (1 + FRONT_DEPTH * near))
        signal = start
        for _ in range(2):
            signal = [_reweighted(s, period, 0.0, mid) for s in signal]
        unusual = 0.5 * (np.log(near / nearness) / _SPREAD) ** 2
        score = _explained(signal, period, 0.0, mid) - _PRIOR_WEIGHT * unusual
        if score > best:
            best, answer = score, (signal, period, 0.0)
    return answer


def _doubled(coefficients: NDArray[np.float64]) -> bool:
    """Whether the ripple repeats twice in the period: its first wave is nearly missing."""
    first, second = np.hypot(*coefficients[2:4]), np.hypot(*coefficients[4:6])
    return bool(first < 0.3 * second)


def _extent(signal: list[_Side]) -> tuple[float, float]:
    """Middle row and span of all sides."""
    mid = float(np.mean([s.y.mean() for s in signal]))
    return mid, float(max(s.y.max() for s in signal) - min(s.y.min() for s in signal))


def _plain(rows: NDArray[np.float64], edge: NDArray[np.float64], width: float) -> _Side:
    """Rows and columns of one side without strays: those farther from the side's line than a thread is deep."""
    seen = np.isfinite(edge)
    y, x = rows[seen], edge[seen]
    keep = np.ones(y.size, bool)
    if y.size < _FEWEST_ROWS:
        return _Side(y, x, np.ones(y.size))
    fit = np.polyfit(y, x, 1)
    for _ in range(6):
        miss = x - np.polyval(fit, y)
        spread = max(1.4826 * float(np.median(np.abs(miss))), 0.014 * width)
        keep = np.abs(miss - np.median(miss)) < 2.5 * spread
        fit = np.polyfit(y[keep], x[keep], 1)
    return _Side(y[keep], x[keep], np.ones(int(keep.sum())))


def _design(y: NDArray[np.float64], period: float, drift: float, mid: float) -> NDArray[np.float64]:
    d = y - mid
    wave = np.exp(2j * np.pi * (d / period - drift * d * d / (2 * period)))
    twice = wave * wave
    return np.stack([np.ones_like(y), d, wave.real, wave.imag, twice.real, twice.imag], axis=1)


def _solve(
    design: NDArray[np.float64], x: NDArray[np.float64], w: NDArray[np.float64]
) -> NDArray[np.float64]:
    weighted = design * w[:, None]
    normal = weighted.T @ design + 1e-9 * np.eye(design.shape[1])
    return np.asarray(np.linalg.solve(normal, weighted.T @ x), dtype=np.float64)


def _fit(
    side: _Side, period: float, drift: float, mid: float
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Coefficients (constant, slope, waves) and residuals of one side."""
    design = _design(side.y, period, drift, mid)
    coefficients = _solve(design, side.x, side.w)
    return coefficients, side.x - design @ coefficients


def _reweighted(side: _Side, period: float, drift: float, mid: float) -> _Side:
    """Side with less weight for rows that lie off the fit."""
    _, miss = _fit(side, period, drift, mid)
    spread = max(1.4826 * float(np.median(np.abs(miss))), 0.2)
    return _Side(side.y, side.x, 1 / (1 + (miss / (2 * spread)) ** 2) ** 2)


def _explained(signal: list[_Side], period: float, drift: float, mid: float) -> float:
    """Share of the ripple about each side's line that the period explains, 0..1."""
    left_over, plain = 0.0, 0.0
    for side in signal:
        _, miss = _fit(side, period, drift, mid)
        line = np.column_stack([np.ones_like(side.y), side.y - mid])
        smooth = side.x - line @ _solve(line, side.x, side.w)
        left_over += float(side.w @ miss**2)
        plain += float(side.w @ smooth**2)
    return 1.0 - left_over / plain if plain > 0 else 0.0


def _improve(
    signal: list[_Side], period: float, drift: float, mid: float, span: float
) -> tuple[float, float]:
    """One Gauss-Newton step in period and drift, the waves' coefficients projected out; steps are kept small."""
    steps = (1e-3 * period, 1e-2 / span)
    left, right = np.diag([0.0, (0.03 / span) ** -2]), np.zeros(2)
    for side in signal:
        coefficients, miss = _fit(side, period, drift, mid)
        base = _design(side.y, period, drift, mid)
        columns = []
        for axis in (0, 1):
            up, down = [period, drift], [period, drift]
            up[axis] += steps[axis]
            down[axis] -= steps[axis]
            change = _design(side.y, up[0], up[1], mid) - _design(side.y, down[0], down[1], mid)
            slope = change @ coefficients / (2 * steps[axis])
            columns.append(slope - base @ _solve(base, slope, side.w))
        slopes = np.column_stack(columns)
        spread = max(float(side.w @ miss**2) / float(side.w.sum()), 0.01)
        left += (slopes * side.w[:, None]).T @ slopes / spread
        right += (slopes * side.w[:, None]).T @ miss / spread
    right[1] -= drift * (0.03 / span) ** -2
    move = np.linalg.solve(left + 1e-12 * np.eye(2), right)
    return period + float(np.clip(move[0], -0.02 * period, 0.02 * period)), drift + float(move[1])


def _threaded(side: _Side, period: float, drift: float, mid: float) -> _Side:
    """Side without the rows of the plain end ring: those above the first full period that fits."""
    _, miss = _fit(side, period, drift, mid)
    good = np.abs(miss) < 2.5 * max(1.4826 * float(np.median(np.abs(miss))), 0.3)
    edges = np.arange(side.y.min(), side.y.max(), period / 2)
    for edge in edges[: 2 * _PLAIN_END]:
        window = (side.y >= edge) & (side.y < edge + period)
        if window.sum() * _step(side) > 0.4 * period and good[window].mean() > 0.7:
            keep = side.y >= edge
            return _Side(side.y[keep], side.x[keep], side.w[keep])
    return side


def _step(side: _Side) -> float:
    return float(np.median(np.diff(side.y)))


def _crests(
    side: _Side, coefficients: NDArray[np.float64], period: float, drift: float, mid: float, outward: int
) -> NDArray[np.float64]:
    """Crests of one side, ``(m, 3)``: number, row of the peak, its standard uncertainty.

    Each peak is a parabola fitted to the rows within a quarter period of where the waves have it.
    """
    phase = np.linspace(0, 2 * np.pi, 181)[:-1]
    waves = np.column_stack([f(k * phase) for k in range(1, _HARMONICS + 1) for f in (np.cos, np.sin)])
    peak = phase[int(np.argmax(outward * (waves @ coefficients[2:])))] / (2 * np.pi)
    straight = outward * (side.x - coefficients[0] - coefficients[1] * (side.y - mid))
    d = side.y - mid
    turns = d / period - drift * d * d / (2 * period) - peak
    found = []
    for number in range(int(np.ceil(turns.min())), int(np.floor(turns.max())) + 1):
        near = np.abs(turns - number) < 0.27
        if near.sum() < 5 or near.sum() * _step(side) < 0.35 * period:
            continue
        y, x = side.y[near], straight[near]
        centre = float(y[np.argmin(np.abs(turns[near] - number))])
        design = np.column_stack([np.ones_like(y), y - centre, (y - centre) ** 2])
        fit = _solve(design, x, side.w[near] + 1e-3)
        if fit[2] >= 0:
            continue
        shift = -fit[1] / (2 * fit[2])
        if abs(shift) > 0.2 * period:
            continue
        spread = max(float(np.std(x - design @ fit)), 0.1)
        covariance = np.linalg.inv(design.T @ design) * spread**2 * 3
        u = np.hypot(np.sqrt(covariance[1, 1]) / abs(2 * fit[2]), 0.004 * period)
        found.append((number, centre + shift, u))
    return np.array(found).reshape(-1, 3)


def _regress(
    crests: list[NDArray[np.float64]],
    period: float,
    share: float,
    bisector: tuple[float, float] | None,
    across: float,
) -> Period | None:
    """Period, drift and their uncertainties from the crests' rows: one line for each side, one period for both."""
    total = sum(c.shape[0] for c in crests)
    if max(c.shape[0] for c in crests) < 3 or total < 4:
        return None
    number = np.concatenate([c[:, 0] for c in crests])
    row = np.concatenate([c[:, 1] for c in crests])
    u = np.concatenate([c[:, 2] for c in crests])
    which = np.concatenate([np.full(c.shape[0], k) for k, c in enumerate(crests)])
    middle = number.mean()
    n = number - middle
    sides = np.column_stack([which == k for k in range(len(crests)) if np.any(which == k)]).astype(float)
    design = np.column_stack([sides, n, n * n / 2])
    weight = 1 / u**2
    prior = np.zeros((design.shape[1], design.shape[1]))
    prior[-1, -1] = (_DRIFT_PRIOR * period) ** -2
    fit = np.zeros(design.shape[1])
    for _ in range(5):
        normal = (design * weight[:, None]).T @ design + prior + 1e-12 * np.eye(design.shape[1])
        fit = np.linalg.solve(normal, (design * weight[:, None]).T @ row)
        miss = row - design @ fit
        spread = max(1.4826 * float(np.median(np.abs(miss / u))), 1.0)
        weight = 1 / u**2 / (1 + (miss / (2 * spread * u)) ** 2)
    covariance = np.linalg.inv(normal) * spread**2
    px = float(fit[-2])
    if not 0.9 < px / period < 1.1:
        return None
    mid_row = float(np.average(row, weights=weight))
    return Period(
        px=px,
        u_px=float(
            np.hypot(np.sqrt(covariance[-2, -2]), px * (_U_SURE + _U_UNSURE * max(0.0, _SURE_SHARE - share)))
        ),
        drift=float(fit[-1]) / px**2,
        u_drift=float(np.sqrt(covariance[-1, -1])) / px**2,
        crests=float(np.ptp(number)) + 1,
        share=share,
        mid_row=mid_row,
        axis_line=bisector,
        crest_width_px=across,
    )


def _crest_width(lines: list[NDArray[np.float64]]) -> float:
    """Distance between the crest lines: the sides' mean distance and the ripple's outward peaks on both."""
    phase = np.linspace(0, 2 * np.pi, 90)
    waves = np.column_stack([f(k * phase) for k in range(1, _HARMONICS + 1) for f in (np.cos, np.sin)])
    left, right = lines
    return float(right[0] + (waves @ right[2:]).max() - left[0] - (waves @ left[2:]).min())
