"""Find the plug: outline, then axes, then the one that has a thread between its sides."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from plugsight.view.axis import Axis, find_axes
from plugsight.view.thread import Shell, read_front, straightened, with_sides
from plugsight.vocabulary.refusal import NotFound

SEARCH_SIDE = 1008
"""Longest side of the picture on which threads are looked for: a plug a quarter of it wide has 20 pixels to a turn. A fourth of the
commonest phones' 4032 pixels."""

_SEARCH_WIDTH = 300.0

_CLEAR_LIKENESS = 0.45
"""A thread seen as clearly as this is the plug's: no later candidate was another and better (crops of family ``train``, 157)."""

NO_SIDES = NotFound(
    "no plug thread with two parallel sides was found",
    "Take the photo from the side, with at least four turns of the thread in the picture",
)
NO_THREAD = NotFound(
    "two parallel sides were found, but no thread between them",
    "Take the photo from the side, with at least four turns of the thread sharp and in the picture",
)


def locate_axis(
    reduced: NDArray[np.uint8],
    outline: NDArray[np.bool_],
    factor: float,
    tip: tuple[float, float] | None = None,
    *,
    vouched: bool = False,
) -> Axis | NotFound:
    """Axis of the plug on ``reduced`` ``(rows, cols, 3)`` uint8.

    ``outline`` ``(rows, cols)`` bool is the shell on a copy ``factor`` times as large, ``tip`` the ``(col, row)`` of the firing end
    on that copy where it is known; ``vouched``: the finder is sure of a plug, a fainter thread is enough.
    """
    best: Shell | None = None
    seen_any = False
    for axis in find_axes(outline, tip, sure=vouched):
        seen_any = True
        shell = read_front(reduced, moved(axis, 1 / factor), _SEARCH_WIDTH, vouched=vouched)
        if shell is not None and (best is None or shell.turns.likeness > best.turns.likeness):
            best = shell
        if best is not None and best.turns.likeness > _CLEAR_LIKENESS:
            break
    if best is None:
        return NO_THREAD if seen_any else NO_SIDES
    return straightened(with_sides(best))


def rough_axis(outline: NDArray[np.bool_], factor: float, tip: tuple[float, float]) -> Axis | None:
    """Return the axis by the outline alone on the reduced picture, or None where no sides run parallel."""
    axis = next(find_axes(outline, tip), None)
    return None if axis is None else moved(axis, 1 / factor)


def moved(axis: Axis, scale: float) -> Axis:
    """Return the axis on a copy of the picture ``scale`` times as large (pixel centres at whole numbers)."""
    return replace(
        axis,
        col=(axis.col + 0.5) * scale - 0.5,
        row=(axis.row + 0.5) * scale - 0.5,
        width=axis.width * scale,
        length=axis.length * scale,
    )
