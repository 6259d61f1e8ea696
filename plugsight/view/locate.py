"""Find the plug: outline, then axes, then the one that has a thread between its sides."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from plugsight.view.axis import Axis, find_axes
from plugsight.view.thread import Shell, read_shell, straightened
from plugsight.vocabulary.refusal import NotFound

SEARCH_SIDE = 960
"""Longest side of the picture on which threads are looked for: a plug a quarter of it wide has 20 pixels to a turn."""

_SEARCH_WIDTH = 300.0

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
    axes = find_axes(outline, tip, sure=vouched)
    if not axes:
        return NO_SIDES
    best: Shell | None = None
    for axis in axes:
        shell = read_shell(reduced, moved(axis, 1 / factor), _SEARCH_WIDTH, closely=False, vouched=vouched)
        if shell is not None and (best is None or shell.turns.likeness > best.turns.likeness):
            best = shell
    if best is None:
        return NO_THREAD
    closer = read_shell(reduced, best.axis, _SEARCH_WIDTH, vouched=vouched)
    return best.axis if closer is None else straightened(closer)


def rough_axis(outline: NDArray[np.bool_], factor: float, tip: tuple[float, float]) -> Axis | None:
    """Return the axis by the outline alone on the reduced picture, or None where no sides run parallel."""
    axes = find_axes(outline, tip)
    return moved(axes[0], 1 / factor) if axes else None


def moved(axis: Axis, scale: float) -> Axis:
    """Return the axis on a copy of the picture ``scale`` times as large (pixel centres at whole numbers)."""
    return replace(
        axis,
        col=(axis.col + 0.5) * scale - 0.5,
        row=(axis.row + 0.5) * scale - 0.5,
        width=axis.width * scale,
        length=axis.length * scale,
    )
