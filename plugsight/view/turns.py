"""How the thread's turns run across its front: proof that it is a thread, and the tilt with its sign."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plugsight.view.flanks import BANDS

LEAST_LIKENESS = 0.34
"""A thread reaches more than this (six samples 0.43 and up); pictures of other things stay below 0.28."""

_STEEPEST = 0.85


@dataclass(frozen=True, slots=True)
class Turns:
    """``tilt_deg`` signed, from the bow of the turns, with ``u_tilt_deg``; ``likeness`` 0..1 to a thread's turns.

    ``sines`` ``(m,)`` and ``fit`` ``(m,)``: how well each sine of the tilt suits, 0..1, for judging other evidence against.
    """

    tilt_deg: float
    u_tilt_deg: float
    likeness: float
    sines: NDArray[np.float64]
    fit: NDArray[np.float64]


def follow_turns(signals: NDArray[np.float64], period_px: float, width: float) -> Turns:
    """Match the phases of ``signals`` ``(n, bands)`` (from ``flank_signals``) with a tilted helix.

    A turn seen at tilt a stands r sin(a) lower at the front than at its sides (r = half the width), and climbs by its
    pitch per turn besides, to the right on a right-hand thread and to the left in a mirrored picture. Light from one
    side moves highlights by up to a quarter period, hence the uncertainty of some degrees.
    """
    n = signals.shape[0]
    d = np.arange(n) - (n - 1) / 2
    wave = np.exp(-2j * np.pi * d / period_px) @ signals / n
    weight = np.abs(wave)
    x = 2 * np.array(BANDS)
    sines = np.linspace(-_STEEPEST, _STEEPEST, 171)
    lower = sines[:, None] * (width / 2) * np.sqrt(1 - x**2)[None, :]
    fits = []
    for hand in (-1, 1):
        climb = hand * period_px / (2 * np.pi) * np.arcsin(x)
        turned = wave[None, :] * np.exp(2j * np.pi * (lower + climb[None, :]) / period_px)
        fits.append(np.abs(turned.sum(axis=1)) / max(float(weight.sum()), 1e-9))
    fit = np.maximum(fits[0], fits[1])
    best = int(np.argmax(fit))
    return Turns(
        tilt_deg=float(np.degrees(np.arcsin(sines[best]))),
        u_tilt_deg=4.0,
        likeness=float(fit[best] * np.sqrt(2) * weight.mean()),
        sines=sines,
        fit=fit,
    )
