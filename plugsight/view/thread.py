"""The threaded shell on an upright picture: found, proved to be a thread, and read."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from plugsight.view.axis import Axis
from plugsight.view.crests import Period
from plugsight.view.flanks import FlankPeriod, find_period, flank_signals
from plugsight.view.ruler import FRONT_DEPTH, USUAL_NEARNESS, measure_period
from plugsight.view.silhouette import trace_sides
from plugsight.view.turns import LEAST_LIKENESS, VOUCHED_LIKENESS, Turns, follow_turns, turn_signals
from plugsight.view.upright import Upright, make_upright

_STRAIGHT = 0.75
"""Crest lines correct the axis only where the period explains this part of the sides' ripple."""

_NARROWEST, _WIDEST = 7.4, 16.8
"""Plugs' threads are 8 (M8x1) to 15.8 (7/8-18) pitches wide."""


@dataclass(frozen=True, slots=True, eq=False)
class Shell:
    """A thread as read on ``upright``: ``axis`` in the picture's own pixels.

    ``flank`` the period on the front, ``period`` on the silhouette (None where that is too smooth), ``turns`` how they run.
    ``width_px`` is the thread's width on the upright picture; ``coded`` its pixels ``(rows, cols, 3)`` float32, 0..100.
    """

    axis: Axis
    upright: Upright
    coded: NDArray[np.float32]
    flank: FlankPeriod
    period: Period | None
    turns: Turns
    width_px: float


def read_shell(
    pixels: NDArray[np.uint8],
    axis: Axis,
    most_px: float,
    nearness: float = USUAL_NEARNESS,
    *,
    closely: bool = True,
    vouched: bool = False,
) -> Shell | None:
    """Read the thread about ``axis`` on ``pixels`` ``(rows, cols, 3)`` uint8; None where there is no thread.

    The thread's width is reduced to ``most_px`` where it is more. Without ``closely`` the silhouette is not
    read; ``vouched`` for by the finder, a fainter thread is enough.
    """
    upright = make_upright(pixels, axis, most_px)
    coded = np.asarray(upright.pixels * np.float32(100 / 255), dtype=np.float32)
    bright = np.ascontiguousarray(coded[..., 1])
    last = min(upright.face_row + axis.length * upright.width / axis.width, upright.pixels.shape[0] - 1)
    rows = np.arange(max(0, int(upright.face_row)), int(last))
    if rows.size < 24:
        return None
    middle = np.full(rows.size, upright.axis_col)
    flank = find_period(flank_signals(bright, middle, rows, upright.width), upright.width)
    if flank is None:
        return None
    period = None
    if closely:
        thin = rows[:: max(1, int(flank.px / 18))]
        left = np.full(thin.size, upright.axis_col - upright.width / 2)
        sides = trace_sides(coded, upright.inside, (left, left + upright.width), thin, upright.width)
        period = measure_period(sides, upright.width, flank.px, nearness)
    width = upright.width if period is None else period.crest_width_px
    px = flank.px / (1 + FRONT_DEPTH * nearness) if period is None else period.px
    threaded = rows[rows > rows[0] + min(1.5 * px, 0.3 * rows.size)]
    turns = follow_turns(turn_signals(bright, upright.axis_col, threaded, width), threaded, px, width)
    pitches_wide = width / px * float(np.cos(np.radians(turns.tilt_deg)))
    least = VOUCHED_LIKENESS if vouched else LEAST_LIKENESS
    if turns.likeness < least or not _NARROWEST < pitches_wide < _WIDEST:
        return None
    return Shell(axis, upright, coded, flank, period, turns, width)


def straightened(shell: Shell) -> Axis:
    """Axis corrected by what the silhouette's crest lines say of its lean and width."""
    if shell.period is None or shell.period.axis_line is None or shell.period.share < _STRAIGHT:
        return shell.axis
    upright = shell.upright
    slope, start = shell.period.axis_line
    place = upright.to_photo @ np.array([start + slope * upright.face_row, upright.face_row, 1.0])
    return replace(
        shell.axis,
        turn_deg=shell.axis.turn_deg - float(np.degrees(np.arctan(slope))),
        col=float(place[0]),
        row=float(place[1]),
        width=shell.period.crest_width_px * shell.axis.width / upright.width,
    )
