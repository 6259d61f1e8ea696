"""How the plug stands to the camera: tilt where it matters, and nearness."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plugsight.view.turns import NEARNESS, Turns

GAP_ABOVE_FACE = 0.2
"""The gap stands about this many thread widths above the shell's face (nose projection and half a gap, 2 to 4 mm on M14)."""

USUAL_DISTANCE_MM, U_NEARNESS = 130.0, 0.35
"""Phones focus on a plug from 80 to 250 mm (common practice): a log-normal that spans it."""

_U_LIGHT_DEG, _U_FAINT_DEG, _CLEAR = 1.3, 6.0, 0.6
"""Highlights shift the turns' apparent bow by the first; the second is added for every unit of likeness below the third
(development renders: median error 0.9 degrees, 2 where the thread is faint)."""

_U_FITTED = 2.0
"""Factor on the distance's uncertainty as the turns' fit shows it: two thirds of the errors lay within so many of them (85
development renders)."""

_SHARPNESS = 60.0
"""How fast the odds of a pose fall with its fit: sets the part of the uncertainty that the match itself shows."""


@dataclass(frozen=True, slots=True)
class Stance:
    """``thread_tilt_deg`` at the thread's middle, ``gap_tilt_deg`` at the gap, both signed, with ``u_tilt_deg``.

    ``nearness`` is thread radius over camera distance with ``u_nearness``; ``height`` of the gap above the thread's middle, in thread
    radii.
    """

    thread_tilt_deg: float
    gap_tilt_deg: float
    u_tilt_deg: float
    nearness: float
    u_nearness: float
    height: float


def stance_of(turns: Turns, gap_row: float, width: float, radius_mm: float) -> Stance:
    """Weigh the turns' fit with where phones are held, and carry the tilt up to ``gap_row``.

    A line of sight to a point h higher meets the plug h/D steeper from below, so the tilt at the gap is less by that.
    """
    odds = np.exp(_SHARPNESS * (turns.fit - 1.0)) * _prior(radius_mm)[:, None]
    odds /= odds.sum()
    tilt = np.degrees(np.arcsin(turns.sines))
    near = float(odds.sum(axis=1) @ NEARNESS)
    u_near = _U_FITTED * float(np.sqrt(odds.sum(axis=1) @ (NEARNESS - near) ** 2) + 0.04 * near)
    height = (turns.mid_row - gap_row) / (width / 2)
    at_gap = tilt[None, :] - np.degrees(height * NEARNESS[:, None])
    u_light = _U_LIGHT_DEG + _U_FAINT_DEG * max(0.0, _CLEAR - turns.likeness)
    gap_tilt = float((odds * at_gap).sum())
    u_gap = float(np.sqrt((odds * (at_gap - gap_tilt) ** 2).sum() + u_light**2))
    thread_tilt = float(odds.sum(axis=0) @ tilt)
    return Stance(thread_tilt, gap_tilt, u_gap, near, u_near, float(height))


def _prior(radius_mm: float) -> NDArray[np.float64]:
    distance = radius_mm / NEARNESS
    weight: NDArray[np.float64] = np.exp(-0.5 * (np.log(distance / USUAL_DISTANCE_MM) / U_NEARNESS) ** 2)
    return weight
