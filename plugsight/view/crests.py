"""Crests of the silhouette, one by one, and the period that runs through them."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

HARMONICS = 2

_U_SURE, _U_UNSURE, SURE_SHARE = 0.0012, 0.02, 0.9
"""Relative standard uncertainty of a period besides what its crests show: the first, and the second for every unit of
share below ``SURE_SHARE`` (development renders)."""

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
class Side:
    """One side of the silhouette: column ``x`` at row ``y``, with weights ``w``; all ``(n,)``."""

    y: NDArray[np.float64]
    x: NDArray[np.float64]
    w: NDArray[np.float64]


def solve(design: NDArray[np.float64], x: NDArray[np.float64], w: NDArray[np.float64]) -> NDArray[np.float64]:
    """Weighted least squares: ``(..., k)`` coefficients of ``design`` ``(..., n, k)`` for ``x`` ``(n,)``, weights ``w`` ``(..., n)``."""
    weighted = np.swapaxes(design * w[..., None], -1, -2)
    normal = weighted @ design
    normal += 1e-9 * np.eye(design.shape[-1])
    return np.asarray(np.linalg.solve(normal, weighted @ x[:, None])[..., 0], dtype=np.float64)


def step(side: Side) -> float:
    """Rows from one sample of a side to the next."""
    return float(np.median(np.diff(side.y)))


def find_crests(
    side: Side, coefficients: NDArray[np.float64], period: float, drift: float, mid: float, outward: int
) -> NDArray[np.float64]:
    """Crests of one side, ``(m, 3)``: number, row of the peak, its standard uncertainty.

    Each peak is a parabola fitted to the rows within a quarter period of where the waves have it; all are fitted at once.
    """
    phase = np.linspace(0, 2 * np.pi, 181)[:-1]
    waves = np.column_stack([f(k * phase) for k in range(1, HARMONICS + 1) for f in (np.cos, np.sin)])
    peak = phase[int(np.argmax(outward * (waves @ coefficients[2:])))] / (2 * np.pi)
    straight = outward * (side.x - coefficients[0] - coefficients[1] * (side.y - mid))
    d = side.y - mid
    turns = d / period - drift * d * d / (2 * period) - peak
    numbers = np.arange(int(np.ceil(turns.min())), int(np.floor(turns.max())) + 1)
    off = np.abs(turns[None] - numbers[:, None])
    near = off < 0.27
    enough = (near.sum(axis=1) >= 5) & (near.sum(axis=1) * step(side) >= 0.35 * period)
    numbers, off, near = numbers[enough], off[enough], near[enough]
    if numbers.size == 0:
        return np.zeros((0, 3))
    centre = side.y[off.argmin(axis=1)]
    apart = (side.y[None] - centre[:, None]) / period
    design = np.stack([np.ones_like(apart), apart, apart * apart], axis=2)
    fit = solve(design, straight, near * (side.w + 1e-3))
    miss = straight[None] - (design @ fit[..., None])[..., 0]
    count = near.sum(axis=1)
    mean = (miss * near).sum(axis=1) / count
    spread = np.maximum(np.sqrt((((miss - mean[:, None]) * near) ** 2).sum(axis=1) / count), 0.1)
    plain = np.swapaxes(design * near[..., None], 1, 2) @ design
    covariance = np.linalg.inv(plain)[:, 1, 1] * spread**2 * 3
    bend = np.minimum(fit[:, 2], -1e-12)
    shift = -fit[:, 1] / (2 * bend)
    u = period * np.hypot(np.sqrt(covariance) / np.abs(2 * bend), 0.004)
    good = (fit[:, 2] < 0) & (np.abs(shift) <= 0.2)
    return np.asarray(np.column_stack([numbers, centre + shift * period, u])[good], dtype=np.float64)


def regress(
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
            np.hypot(np.sqrt(covariance[-2, -2]), px * (_U_SURE + _U_UNSURE * max(0.0, SURE_SHARE - share)))
        ),
        drift=float(fit[-1]) / px**2,
        u_drift=float(np.sqrt(covariance[-1, -1])) / px**2,
        crests=float(np.ptp(number)) + 1,
        share=share,
        mid_row=mid_row,
        axis_line=bisector,
        crest_width_px=across,
    )


def crest_width(lines: list[NDArray[np.float64]]) -> float:
    """Distance between the crest lines: the sides' mean distance and the ripple's outward peaks on both."""
    phase = np.linspace(0, 2 * np.pi, 90)
    waves = np.column_stack([f(k * phase) for k in range(1, HARMONICS + 1) for f in (np.cos, np.sin)])
    left, right = lines
    return float(right[0] + (waves @ right[2:]).max() - left[0] - (waves @ left[2:]).min())
