"""How the thread's turns run across its front: proof that it is a thread, the tilt with its sign, and how near the camera is."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plugsight.view.signals import brightness_down

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
    green: NDArray[np.uint8], axis_col: float, rows: NDArray[np.int_], width: float
) -> NDArray[np.float32]:
    """Brightness down the thread at each of ``ACROSS``, ``(n, 25)``: see ``brightness_down``."""
    columns = np.rint(axis_col + ACROSS * width / 2).astype(int)
    return brightness_down(green, columns, rows, width, across_px=max(3, int(0.02 * width)), least=0.05)


def follow_turns(
    signals: NDArray[np.float32], rows: NDArray[np.int_], period_px: float, width: float
) -> Turns:
    """Match ``signals`` ``(n, 25)`` from ``turn_signals`` at ``rows`` with a tilted helix seen from nearby.

    A turn seen at tilt a stands r sin(a) lower at the front than at its sides (r = half the width); perspective spreads the
    front by r/D; and it climbs by its pitch per turn, to the right on a right-hand thread, to the left in a mirrored
    picture. ``period_px`` is the silhouette's; a dozen rows to the period are enough.
    """
    mid = float(rows.mean())
    spread = 1 + NEARNESS[:, None, None] * BULGE[None, None, :]
    phase = (2 * np.pi / period_px * (rows - mid)[None, :, None] / spread).astype(np.float32)
    turn = np.empty(phase.shape, np.complex64)
    turn.real, turn.imag = np.cos(phase), -np.sin(phase)
    fit = np.zeros((2, NEARNESS.size, _SINES.size))
    for k in _HARMONICS:
        wave = np.einsum("nb,anb->ab", signals, turn**k) / rows.size
        wave_number = 2 * np.pi * k / period_px
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
