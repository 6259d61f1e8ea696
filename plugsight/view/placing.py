"""Standing a plug upright: by its thread, by its outline alone, or by the shell's circle."""

import numpy as np
from numpy.typing import NDArray

from plugsight.view import canonical
from plugsight.view.axis import Axis
from plugsight.view.develop import Placed
from plugsight.view.end import EndCircle
from plugsight.view.record import SIDE_WITHIN_DEG, Pose, ViewKind
from plugsight.view.rim import find_rim
from plugsight.view.scale import contradiction, scale_of
from plugsight.view.stance import GAP_ABOVE_FACE, stance_of
from plugsight.view.thread import Shell
from plugsight.view.upright import MAX_THREAD_PX, make_upright
from plugsight.vocabulary.engine import PlugSpec
from plugsight.vocabulary.refusal import NotMeasured

_FACE_RADIUS = 0.45
_ROUGH_TILT, _U_ROUGH_TILT = 32.0, 12.0
"""Oblique views whose thread can't be read are taken to stand in the middle of 15 to 50 degrees."""

_END_TILT, _U_END_TILT = 85.0, 6.0

_NO_THREAD = NotMeasured(
    "the thread can't be read in this photo", "Take one photo from the side with the thread sharp"
)


def placed_by_thread(shell: Shell, radius_mm: float, spec: PlugSpec) -> Placed:
    """Stand the plug by its thread: pose and scale measured."""
    upright, width = shell.upright, shell.width_px
    rim = find_rim(upright.pixels, upright.axis_col, upright.face_row, width, shell.turns.tilt_deg, 3.0)
    base_row = upright.face_row if rim is None else rim.base_row
    stance = stance_of(shell.turns, base_row - GAP_ABOVE_FACE * width, width, radius_mm)
    kind = ViewKind.SIDE if abs(stance.gap_tilt_deg) <= SIDE_WITHIN_DEG else ViewKind.OBLIQUE
    scale = scale_of(shell, stance, spec)
    return Placed(
        upright=upright,
        face_row=base_row + _FACE_RADIUS * width * float(np.sin(np.radians(stance.gap_tilt_deg))),
        window=canonical.side_window(upright.axis_col, base_row - GAP_ABOVE_FACE * width, width),
        thread_px=width,
        photo_px_per_px=shell.axis.width / upright.width,
        pose=Pose(kind, shell.axis.turn_deg, stance.gap_tilt_deg, stance.u_tilt_deg),
        scale=scale,
        contradiction=None if isinstance(scale, NotMeasured) else contradiction(shell, stance, scale),
    )


def placed_by_outline(pixels: NDArray[np.uint8], axis: Axis) -> Placed:
    """Stand the plug by its outline: good enough to look at deposits, not to measure lengths."""
    upright = make_upright(pixels, axis, MAX_THREAD_PX)
    width = upright.width
    return Placed(
        upright=upright,
        face_row=upright.face_row + _FACE_RADIUS * width * float(np.sin(np.radians(_ROUGH_TILT))),
        window=canonical.side_window(upright.axis_col, upright.face_row - GAP_ABOVE_FACE * width, width),
        thread_px=width,
        photo_px_per_px=axis.width / width,
        pose=Pose(ViewKind.OBLIQUE, axis.turn_deg, _ROUGH_TILT, _U_ROUGH_TILT),
        scale=_NO_THREAD,
    )


def placed_by_circle(pixels: NDArray[np.uint8], circle: EndCircle, factor: int) -> Placed:
    """Centre the plug on the circle found on a picture reduced by ``factor``; the photo's own upright is kept."""
    diameter = circle.diameter * factor
    col, row = (circle.col + 0.5) * factor - 0.5, (circle.row + 0.5) * factor - 0.5
    axis = Axis(turn_deg=0.0, col=col, row=row, width=diameter, length=diameter)
    upright = make_upright(pixels, axis, MAX_THREAD_PX)
    return Placed(
        upright=upright,
        face_row=upright.face_row,
        window=canonical.end_window(upright.axis_col, upright.face_row, upright.width),
        thread_px=upright.width,
        photo_px_per_px=diameter / upright.width,
        pose=Pose(ViewKind.END, 0.0, _END_TILT, _U_END_TILT),
        scale=_NO_THREAD,
    )
