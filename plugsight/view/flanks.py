"""The thread's brightness on its flanks: finds the period surely, though not as truly as the silhouette."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

BANDS = (-0.42, -0.36, -0.28, -0.18, -0.08, 0.08, 0.18, 0.28, 0.36, 0.42)
"""Where the thread is read, in thread widths from the axis."""

SHORTEST, LONGEST = 1 / 19.0, 1 / 6.8
"""Periods looked for, in thread widths: plugs' threads have 8 (M8x1) to 15.8 (7/8-18) pitches to their width, the front of
the thread looks up to a tenth larger than its silhouette, and tilt shortens the period."""

LEAST_SHARE = 0.12
"""A thread's period explains more than this part of the brightness; bundled pictures of other things stay below."""


@dataclass(frozen=True, slots=True)
class FlankPeriod:
    """``px`` the period on the front of the thread; ``share`` what it explains of the brightness, 0..1; ``crests`` seen."""

    px: float
    share: float
    crests: float


def flank_signals(
    lightness: NDArray[np.float32], middle: NDArray[np.float64], rows: NDArray[np.int_], width: float
) -> NDArray[np.float64]:
    """Brightness down the thread at each of ``BANDS``, ``(n, bands)``, slow changes removed, each scaled to unit size.

    ``lightness`` ``(rows, cols)`` float32; ``middle`` ``(n,)`` the axis' column at ``rows`` ``(n,)``.
    """
    soft = cv2.blur(lightness, (max(3, int(0.03 * width)), 1))
    columns = np.rint(middle[:, None] + np.array(BANDS)[None, :] * width).astype(int)
    columns = np.clip(columns, 0, lightness.shape[1] - 1)
    signal = soft[rows[:, None], columns].astype(np.float32)
    slow = cv2.GaussianBlur(signal, (0, 0), sigmaX=1e-3, sigmaY=0.09 * width)
    quick = (signal - slow).astype(np.float64)
    size = np.maximum(np.sqrt(np.mean(quick**2, axis=0)), 1e-3)
    scaled: NDArray[np.float64] = np.clip(quick / size, -2.5, 2.5)
    return scaled


def find_period(signals: NDArray[np.float64], width: float) -> FlankPeriod | None:
    """Period common to all ``signals`` ``(n, bands)``, each with its own phase and three harmonics.

    All periods from ``SHORTEST`` to ``LONGEST`` compete; a whole multiple of the true one explains nothing more and is
    passed over in favour of the shortest peak that reaches 90 % of the best. None where fewer than three periods
    fit in the rows or the best explains too little.
    """
    n = signals.shape[0]
    grid = np.geomspace(SHORTEST * width, LONGEST * width, 160)
    grid = grid[(grid < n / 2.5) & (grid > 5)]
    if grid.size < 8:
        return None
    step = max(1, int(grid[0] / 8))
    thin = signals[::step]
    d = np.arange(n)[::step] - (n - 1) / 2
    score = np.zeros(grid.size)
    turn = np.exp(-2j * np.pi * d[None, :] / grid[:, None]).astype(np.complex64)
    wave = np.ones_like(turn)
    for _ in range(3):
        wave *= turn
        score += 2 * np.sum(np.abs(wave @ thin.astype(np.complex64)) ** 2, axis=1) / d.size
    score /= max(float(np.sum(thin**2)), 1e-9)
    peaks = np.flatnonzero((score[1:-1] >= score[:-2]) & (score[1:-1] > score[2:])) + 1
    if peaks.size == 0 or score[peaks].max() < LEAST_SHARE:
        return None
    best = int(peaks[score[peaks] >= 0.9 * score[peaks].max()][0])
    a, b, c = score[best - 1 : best + 2]
    shift = 0.5 * (a - c) / (a - 2 * b + c) if a - 2 * b + c < 0 else 0.0
    period = float(grid[best] * (grid[1] / grid[0]) ** shift)
    return FlankPeriod(px=period, share=float(b), crests=n / period)
