"""The thread's brightness on its flanks: finds the period surely, though not as truly as the silhouette."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plugsight.view.signals import brightness_down

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
    green: NDArray[np.uint8], axis_col: float, rows: NDArray[np.int_], width: float
) -> NDArray[np.float32]:
    """Brightness down the thread at each of ``BANDS``, ``(n, bands)``: see ``brightness_down``."""
    columns = np.rint(axis_col + np.array(BANDS) * width).astype(int)
    return brightness_down(green, columns, rows, width, across_px=max(3, int(0.03 * width)), least=1e-3)


def rows_apart(width: float) -> int:
    """Rows from one reading to the next: eight to the shortest period."""
    return max(1, int(SHORTEST * width / 8))


def find_period(signals: NDArray[np.float32], apart: int, width: float) -> FlankPeriod | None:
    """Period common to all ``signals`` ``(n, bands)``, each with its own phase and three harmonics.

    The signals' rows lie ``apart`` pixels from each other. All periods from ``SHORTEST`` to ``LONGEST`` compete; a whole multiple of
    the true one explains nothing more and is passed over in favour of the shortest peak that reaches 90 % of the best.
    None where fewer than three periods fit in the rows or the best explains too little.
    """
    n = signals.shape[0] * apart
    grid = np.geomspace(SHORTEST * width, LONGEST * width, 160)
    grid = grid[(grid < n / 2.5) & (grid > 5)]
    if grid.size < 8:
        return None
    d = apart * (np.arange(signals.shape[0]) - (signals.shape[0] - 1) / 2)
    phase = (2 * np.pi / grid[:, None] * d[None, :]).astype(np.float32)
    cos, sin = np.cos(phase), np.sin(phase)
    real, imaginary = cos, sin
    score = np.zeros(grid.size)
    for harmonic in range(3):
        if harmonic:
            real, imaginary = real * cos - imaginary * sin, imaginary * cos + real * sin
        score += 2 * np.sum((real @ signals) ** 2 + (imaginary @ signals) ** 2, axis=1) / d.size
    score /= max(float(np.sum(signals * signals)), 1e-9)
    peaks = np.flatnonzero((score[1:-1] >= score[:-2]) & (score[1:-1] > score[2:])) + 1
    if peaks.size == 0 or score[peaks].max() < LEAST_SHARE:
        return None
    best = int(peaks[score[peaks] >= 0.9 * score[peaks].max()][0])
    a, b, c = score[best - 1 : best + 2]
    shift = 0.5 * (a - c) / (a - 2 * b + c) if a - 2 * b + c < 0 else 0.0
    period = float(grid[best] * (grid[1] / grid[0]) ** shift)
    return FlankPeriod(px=period, share=float(b), crests=n / period)
