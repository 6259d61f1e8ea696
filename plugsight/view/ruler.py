"""The thread as a ruler: its period along the two sides of the silhouette."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plugsight.view.silhouette import Silhouette

_HARMONICS = 2

LEAST_SHARE = 0.35
"""The period must explain this part of the sides' ripple, or the silhouette is too smooth to be a ruler."""


@dataclass(frozen=True, slots=True)
class Period:
    """The thread's period on the silhouette, at ``mid_row``.

    ``px`` with standard uncertainty ``u_px``; ``drift`` the relative change of the period per pixel down the picture with
    ``u_drift``; ``crests`` how many periods were seen; ``share`` the part of the sides' ripple that they explain.
    """

    px: float
    u_px: float
    drift: float
    u_drift: float
    crests: float
    share: float
    mid_row: float


_Side = tuple[NDArray[np.float64], NDArray[np.float64]]


def measure_period(sides: Silhouette, width: float, expected_px: float) -> Period | None:
    """Period of the thread, from both sides at once, within 12 % of ``expected_px`` (the flanks' period).

    ``width`` is the thread's width in pixels. Each side is a parabola with a ripple of two harmonics; both share period
    and drift. None where fewer than three periods are seen or the ripple is not periodic.
    """
    signal = [_ripple(sides.rows, edge, width) for edge in (sides.left, sides.right)]
    signal = [s for s in signal if s[0].size >= 24]
    if not signal:
        return None
    span = float(max(s[0].max() for s in signal) - min(s[0].min() for s in signal))
    mid = float(np.mean([s[0].mean() for s in signal]))
    if span < 3 * expected_px:
        return None
    grid = expected_px * np.linspace(0.86, 1.10, 25)
    scores = [_explained(signal, p, 0.0, mid) for p in grid]
    (period, drift), share = _refine(signal, float(grid[int(np.argmax(scores))]), mid, span)
    if share < LEAST_SHARE or not 0.84 < period / expected_px < 1.12:
        return None
    u_period, u_drift = _uncertainty(signal, period, drift, mid, span)
    return Period(period, u_period, drift, u_drift, span / period, share, mid)


def _ripple(rows: NDArray[np.float64], edge: NDArray[np.float64], width: float) -> _Side:
    """Rows and columns of one side without strays: those farther from the side's line than a thread is deep."""
    seen = np.isfinite(edge)
    y, x = rows[seen], edge[seen]
    if y.size < 24:
        return y, x
    fit = np.polyfit(y, x, 1)
    for _ in range(6):
        miss = x - np.polyval(fit, y)
        spread = max(1.4826 * float(np.median(np.abs(miss))), 0.012 * width)
        keep = np.abs(miss - np.median(miss)) < 2.5 * spread
        fit = np.polyfit(y[keep], x[keep], 1)
    return y[keep], x[keep]


def _design(y: NDArray[np.float64], period: float, drift: float, mid: float) -> NDArray[np.float64]:
    d = y - mid
    phase = 2 * np.pi * (d / period - drift * d * d / (2 * period))
    waves = [f(k * phase) for k in range(1, _HARMONICS + 1) for f in (np.cos, np.sin)]
    return np.column_stack([np.ones_like(y), d, d * d, *waves])


def _fit(
    side: _Side, period: float, drift: float, mid: float
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    y, x = side
    design = _design(y, period, drift, mid)
    coefficients, *_ = np.linalg.lstsq(design, x, rcond=None)
    return np.asarray(coefficients, dtype=np.float64), x - design @ coefficients


def _explained(signal: list[_Side], period: float, drift: float, mid: float) -> float:
    """Share of the ripple about each side's parabola that the period explains, 0..1."""
    left_over, plain = 0.0, 0.0
    for side in signal:
        _, miss = _fit(side, period, drift, mid)
        smooth = side[1] - np.polyval(np.polyfit(side[0] - mid, side[1], 2), side[0] - mid)
        left_over += float(miss @ miss)
        plain += float(smooth @ smooth)
    return 1.0 - left_over / plain if plain > 0 else 0.0


def _refine(signal: list[_Side], start: float, mid: float, span: float) -> tuple[tuple[float, float], float]:
    """Climb from the best of the grid in period and drift, by ever finer steps."""
    here, best = (start, 0.0), _explained(signal, start, 0.0, mid)
    steps = [0.008 * start, 0.04 / span]
    while steps[0] > 1e-4 * start:
        moved = False
        for axis in (0, 1):
            for sign in (-1, 1):
                trial = [here[0], here[1]]
                trial[axis] += sign * steps[axis]
                if abs(trial[1]) * span > 0.2:
                    continue
                score = _explained(signal, trial[0], trial[1], mid)
                if score > best:
                    best, here, moved = score, (trial[0], trial[1]), True
        if not moved:
            steps = [s / 2 for s in steps]
    return here, best


def _uncertainty(
    signal: list[_Side], period: float, drift: float, mid: float, span: float
) -> tuple[float, float]:
    """Standard uncertainties of period and drift from the residuals, by the information matrix.

    Neighbouring rows' errors are taken as correlated over a quarter of a period.
    """
    information = np.zeros((2, 2))
    steps = (1e-3 * period, 1e-2 / span)
    variance, count = 0.0, 0
    for side in signal:
        coefficients, miss = _fit(side, period, drift, mid)
        columns = []
        for axis in (0, 1):
            up, down = [period, drift], [period, drift]
            up[axis] += steps[axis]
            down[axis] -= steps[axis]
            change = _design(side[0], up[0], up[1], mid) - _design(side[0], down[0], down[1], mid)
            columns.append(change @ coefficients / (2 * steps[axis]))
        slope = np.column_stack(columns)
        base = _design(side[0], period, drift, mid)
        slope -= base @ np.linalg.lstsq(base, slope, rcond=None)[0]
        information += slope.T @ slope
        variance += float(miss @ miss)
        count += miss.size
    correlated = max(1.0, period / 4)
    try:
        covariance = np.linalg.inv(information) * variance / max(count - 16, 1) * correlated
    except np.linalg.LinAlgError:
        return period, 1.0
    return float(np.sqrt(covariance[0, 0])), float(np.sqrt(covariance[1, 1]))
