"""The threaded shell on an upright picture: found, proved to be a thread, and read."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from plugsight.view.axis import Axis
from plugsight.view.crests import Period
from plugsight.view.flanks import FlankPeriod, find_period, flank_signals, rows_apart
from plugsight.view.ruler import FRONT_DEPTH, USUAL_NEARNESS, measure_period
from plugsight.view.silhouette import trace_sides
from plugsight.view.turns import LEAST_LIKENESS, VOUCHED_LIKENESS, Turns, follow_turns, turn_signals
from plugsight.view.upright import Upright, make_upright

_FEWEST_ROWS = 24

_FEWEST_TURNS = 4.0
"""Without the finder's word so many turns must be seen (crops of family ``train``: 4.8 at least; a drawn clock showed 3.2)."""

_STRAIGHT = 0.75
"""Crest lines correct the axis only where the period explains this part of the sides' ripple."""

_NARROWEST, _WIDEST = 7.4, 16.8
"""Plugs' threads are 8 (M8x1) to 15.8 (7/8-18) pitches wide."""


@dataclass(frozen=True, slots=True, eq=False)
class Shell:
    """A thread as read on ``upright``: ``axis`` in the picture's own pixels.

    ``flank`` the period on the front, ``period`` on the silhouette (None where that is too smooth, or was not looked at), ``turns``
    how they run. ``rows`` are those of the thread, ``width_px`` its width on the upright picture.
    """

    axis: Axis
    upright: Upright
    rows: range
    flank: FlankPeriod
    period: Period | None
    turns: Turns
    width_px: float


def read_front(
    pixels: NDArray[np.uint8], axis: Axis, most_px: float, *, vouched: bool = False
) -> Shell | None:
    """Read only the front of the thread about ``axis``: quick, to choose among axes. See ``read_shell``."""
    found = _find_flank(make_upright(pixels, axis, most_px, thread_only=True), axis, vouched=vouched)
    if found is None:
        return None
    rows, flank, upright = found
    px = flank.px / (1 + FRONT_DEPTH * USUAL_NEARNESS)
    turns = _turns_of_thread(upright, rows, px, upright.width, vouched=vouched)
    return None if turns is None else Shell(axis, upright, rows, flank, None, turns, upright.width)


def read_shell(
    pixels: NDArray[np.uint8],
    axis: Axis,
    most_px: float,
    nearness: float = USUAL_NEARNESS,
    *,
    vouched: bool = False,
) -> Shell | None:
    """Read the thread about ``axis`` on ``pixels`` ``(rows, cols, 3)`` uint8; None where there is no thread.

    The thread's width is reduced to ``most_px`` where it is more; ``vouched`` for by the finder, a fainter thread is enough.
    """
    found = _find_flank(make_upright(pixels, axis, most_px), axis, vouched=vouched)
    if found is None:
        return None
    rows, flank, upright = found
    period = _measure_sides(upright, rows, flank, nearness)
    width = upright.width if period is None else period.crest_width_px
    px = flank.px / (1 + FRONT_DEPTH * nearness) if period is None else period.px
    turns = _turns_of_thread(upright, rows, px, width, vouched=vouched)
    return None if turns is None else Shell(axis, upright, rows, flank, period, turns, width)


def _find_flank(upright: Upright, axis: Axis, *, vouched: bool) -> tuple[range, FlankPeriod, Upright] | None:
    """Rows of the thread and its period on the front."""
    last = min(upright.face_row + axis.length * upright.width / axis.width, upright.pixels.shape[0] - 1)
    rows = range(max(0, int(upright.face_row)), int(last))
    if len(rows) < _FEWEST_ROWS:
        return None
    apart = rows_apart(upright.width)
    at = np.array(rows[::apart])
    signals = flank_signals(upright.pixels[..., 1], upright.axis_col, at, upright.width)
    flank = find_period(signals, apart, upright.width)
    if flank is None or (flank.crests < _FEWEST_TURNS and not vouched):
        return None
    return rows, flank, upright


def _measure_sides(upright: Upright, rows: range, flank: FlankPeriod, nearness: float) -> Period | None:
    """Trace the silhouette, 18 rows to a turn, and take the period from it."""
    thin = np.array(rows[:: max(1, int(flank.px / 18))])
    left = np.full(thin.size, upright.axis_col - upright.width / 2)
    sides = trace_sides(upright.pixels, upright.inside, (left, left + upright.width), thin, upright.width)
    return measure_period(sides, upright.width, flank.px, nearness)


def _turns_of_thread(
    upright: Upright, rows: range, px: float, width: float, *, vouched: bool
) -> Turns | None:
    """Follow the turns of a thread ``width`` wide whose period is ``px``; None where they are no thread's."""
    at = np.array(rows[int(min(1.5 * px, 0.3 * len(rows))) + 1 :: max(1, int(px / 12))])
    turns = follow_turns(turn_signals(upright.pixels[..., 1], upright.axis_col, at, width), at, px, width)
    pitches_wide = width / px * float(np.cos(np.radians(turns.tilt_deg)))
    least = VOUCHED_LIKENESS if vouched else LEAST_LIKENESS
    return turns if turns.likeness >= least and _NARROWEST < pitches_wide < _WIDEST else None


def with_sides(shell: Shell) -> Shell:
    """Shell of ``read_front`` with its silhouette read too."""
    period = _measure_sides(shell.upright, shell.rows, shell.flank, USUAL_NEARNESS)
    return shell if period is None else replace(shell, period=period, width_px=period.crest_width_px)


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
