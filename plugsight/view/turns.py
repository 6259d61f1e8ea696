"""How the thread's turns run across its front: proof that it is a thread, the tilt with its sign, and how near the camera is."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

ACROSS = np.linspace(-0.9, 0.9, 25)
"""Where the thread is read, in thread radii from the axis."""

LEAST_LIKENESS = 0.34
"""A thread reaches more than this; pictures of other things stay below 0.28."""

NEARNESS = np.linspace(0.015, 0.11, 11)
"""Thread radius over camera distance: 4 mm at 250 mm to 9 mm at 80 mm."""

VOUCHED_LIKENESS = 0.2
"""Enough where the finder already saw a plug: a rusty thread, or one out of focus."""

_SINES = np.sin(np.radians(np.arange(-55.0, 55.1, 1.0)))
_HARMONICS = (1, 2)
BULGE = np.sqrt(1 - ACROSS**2)


@dataclass(frozen=True, slots=True, eq=False)
class Turns:
    """What the turns say. ``likeness`` 0..1 to a thread's turns.

    ``tilt_deg`` at ``mid_row``; ``nearness`` the thread's radius over the camera's distance that suits best. ``fit`` is
    ``(nearness, sines)``, relative to its best: how well each pair of ``NEARNESS`` and ``sines`` suits.
    ``hand`` is -1 for a right-hand thread, 1 in a mirrored picture.
    """

    tilt_deg: float
    nearness: float
    likeness: float
    mid_row: float
    sines: NDArray[np.float64]
    fit: NDArray[np.float64]
    hand: int


def turn_signals(
    lightness: NDArray[np.float32], axis_col: float, rows: NDArray[np.int_], width: float
) -> NDArray[np.float64]:
    """Brightness down the thread at each of ``ACROSS``, ``(n, 25)``: slow changes removed, each scaled to unit size.

    ``lightness`` ``(rows, cols)`` float32 upright; ``rows`` ``(n,)`` consecutive.
    """
    columns = np.clip(np.rint(axis_col + ACROSS * width / 2).astype(int), 0, lightness.shape[1] - 1)
    part = lightness[rows[0] : rows[-1] + 1]
    soft = cv2.blur(part, (max(3, int(0.02 * width)), 1))
    signal = np.ascontiguousarray(soft[:, columns])
    slow = cv2.GaussianBlur(signal, (0, 0), sigmaX=1e-3, sigmaY=0.09 * width)
    quick = (signal - slow).astype(np.float64)
    size = np.maximum(np.sqrt(np.mean(quick**2, axis=0)), 0.05)
    scaled: NDArray[np.float64] = np.clip(quick / size, -2.5, 2.5)
    return scaled


def follow_turns(
    signals: NDArray[np.float64], rows: NDArray[np.int_], period_px: float, width: float
) -> Turns:
    """Match ``signals`` ``(n, 25)`` from ``turn_signals`` with a tilted helix seen from nearby.

    A turn seen at tilt a stands r sin(a) lower at the front than at its sides (r = half the width); perspective spreads the
    front by r/D; and it climbs by its pitch per turn, to the right on a right-hand thread, to the left in a mirrored
    picture. ``period_px`` is the silhouette's.
    """
    step = max(1, int(period_px / 12))
    thin = signals[::step]
    mid = float(rows.mean())
    d = rows[::step] - mid
    spread = 1 + NEARNESS[:, None] * BULGE[None, :]
    fit = np.zeros((2, NEARNESS.size, _SINES.size))
    for k in _HARMONICS:
        wave_number = 2 * np.pi * k / period_px
        waves = np.exp(-1j * wave_number * d[None, :, None] / spread[:, None, :])
        wave = np.einsum("nb,anb->ab", thin, waves) / d.size
        back = np.exp(1j * wave_number * (width / 2) * _SINES[:, None] * BULGE[None, :])
        for hand in (0, 1):
            climb = (2 * hand - 1) * period_px / (2 * np.pi) * np.arcsin(ACROSS)
            fit[hand] += np.abs((wave * np.exp(1j * wave_number * climb)) @ back.T) ** 2
    hand = -1 if fit[0].max() >= fit[1].max() else 1
    fit = fit[(hand + 1) // 2]
    i, j = np.unravel_index(int(np.argmax(fit)), fit.shape)
    return Turns(
        tilt_deg=float(np.degrees(np.arcsin(_SINES[j]))),
        nearness=float(NEARNESS[i]),
        likeness=float(np.sqrt(2 * fit[i, j]) / ACROSS.size),
        mid_row=mid,
        sines=_SINES,
        fit=fit / max(float(fit.max()), 1e-12),
        hand=hand,
    )
