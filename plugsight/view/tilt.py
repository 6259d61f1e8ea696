"""Signed tilt of the axis: how far the camera looks onto the end face, from the shell's rim."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plugsight.view.turns import Turns

FACE_SHARE = 0.45
"""Half-width of the shell face's rim in thread widths: the end ring stands near the thread's root (M14: 12.6 of 14 mm)."""


@dataclass(frozen=True, slots=True)
class Rim:
    """The rim's far arc on the outline: ``base_row`` of the rim's ends, ``height_px`` of the arc above them."""

    base_row: float
    height_px: float


def find_rim(
    plug: NDArray[np.bool_], axis_col: float, face_row: float, width: float, turns: Turns
) -> Rim | None:
    """Find the arc of the shell's upper end that most columns of the outline agree on.

    ``plug`` ``(rows, cols)`` bool upright. Strap and nose stand before the rim, so columns vote; how well each tilt suits
    the turns of the thread weighs the votes. None where too few agree.
    """
    columns = np.arange(int(axis_col - 0.43 * width), int(axis_col + 0.43 * width) + 1)
    columns = columns[(columns >= 0) & (columns < plug.shape[1])]
    x = (columns - axis_col) / width
    lowest = min(plug.shape[0] - 1, int(face_row + 0.25 * width))
    part = plug[:lowest, columns]
    top = np.where(part.any(axis=0), part.argmax(axis=0), lowest).astype(np.float64)
    best, answer, count = 0.0, None, 0.0
    tolerance = max(1.5, 0.008 * width)
    bases = np.arange(face_row - 0.2 * width, face_row + 0.25 * width, tolerance)
    arch = np.sqrt(np.clip(1 - (x / FACE_SHARE) ** 2, 0, 1))
    usable = (np.abs(x) > 0.2) & (np.abs(x) < 0.96 * FACE_SHARE)
    for height in np.arange(0.0, 0.36 * width, 0.006 * width):
        ends = (top + height * arch)[usable]
        votes = np.clip(1 - (np.abs(ends[:, None] - bases[None, :]) / tolerance) ** 2, 0, 1).sum(axis=0)
        sine = height / (FACE_SHARE * width)
        fit = float(np.interp(np.array([sine, -sine]), turns.sines, turns.fit).max())
        k = int(np.argmax(votes))
        if votes[k] * fit**2 > best:
            best, answer, count = (
                float(votes[k]) * fit**2,
                Rim(float(bases[k]), float(height)),
                float(votes[k]),
            )
    return answer if count > 0.12 * width else None


def signed_tilt(rim: Rim | None, turns: Turns, width: float) -> tuple[float, float]:
    """Tilt in degrees with its standard uncertainty: size from the rim, sign from the turns."""
    if rim is None:
        return turns.tilt_deg, turns.u_tilt_deg
    sine = min(rim.height_px / (FACE_SHARE * width), 0.99)
    ahead, behind = np.interp(np.array([sine, -sine]), turns.sines, turns.fit)
    size = float(np.degrees(np.arcsin(sine)))
    return (size if ahead >= behind else -size), 2.0
