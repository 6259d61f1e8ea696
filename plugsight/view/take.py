"""The room's verb: a ``Photo`` to a ``View``, or why not."""

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.photo.record import Photo
from plugsight.photo.reduce import reduce_by
from plugsight.view.card import find_card
from plugsight.view.develop import Placed, develop
from plugsight.view.end import LEAST_STRENGTH, find_circle, seen_from_end
from plugsight.view.fitness import notes_on
from plugsight.view.ground import separate
from plugsight.view.locate import NO_THREAD, SEARCH_SIDE, locate_axis, moved, rough_axis
from plugsight.view.placing import placed_by_circle, placed_by_outline, placed_by_thread
from plugsight.view.record import View
from plugsight.view.sighting import Sighting, sight
from plugsight.view.stance import USUAL_DISTANCE_MM
from plugsight.view.thread import read_shell
from plugsight.view.upright import MAX_THREAD_PX
from plugsight.vocabulary.engine import PlugSpec
from plugsight.vocabulary.refusal import NotFound
from plugsight.vocabulary.threads import THREADS

_USUAL_RADIUS_MM = 7.0


def take_view(photo: Photo, spec: PlugSpec) -> View | NotFound:
    """Find the plug, turn it upright, neutralise its light and set its scale.

    ``NotFound`` where the picture shows no plug. Where only the card or the scale is missing, the view carries the
    refusal in that field and a flag with its remedy in ``notes``. What only looks like a plug, and shows no clear thread, is
    handed on as not ``proven``.
    """
    factor = -(-max(photo.pixels.shape) // SEARCH_SIDE)
    reduced = reduce_by(photo.pixels, factor)
    ground = separate(reduced)
    seen = sight(reduced, ground)
    if isinstance(seen, NotFound):
        return seen
    placed = _place(photo.pixels, reduced, factor, seen, spec, vouched=seen.sure)
    proven = not isinstance(placed, NotFound)
    if not proven and seen.likely and not seen.sure:
        placed = _place(photo.pixels, reduced, factor, seen, spec, vouched=True)
    if isinstance(placed, NotFound):
        return placed
    card = find_card(ground, seen.plug, seen.card, ground.factor / factor)
    plug = _on_view(seen.plug, placed, seen.factor / factor)
    notes = notes_on(photo.pixels.shape[:2], seen, placed, card, plug)
    return develop(photo, placed, card, plug, notes, proven=proven)


def _place(
    pixels: NDArray[np.uint8],
    reduced: NDArray[np.uint8],
    factor: int,
    seen: Sighting,
    spec: PlugSpec,
    *,
    vouched: bool,
) -> Placed | NotFound:
    """Stand the plug upright by its thread; else, where a plug is ``vouched`` for, by its circles or outline."""
    if seen.parts is not None and vouched and seen_from_end(seen.parts):
        circle = find_circle(reduced, seen.parts)
        if circle is not None and circle.strength > LEAST_STRENGTH:
            return placed_by_circle(pixels, circle, factor)
    found = locate_axis(reduced, seen.shell, seen.factor, seen.tip, vouched=vouched)
    if not isinstance(found, NotFound):
        thread = THREADS.get(spec.thread or "")
        radius = _USUAL_RADIUS_MM if thread is None else thread.diameter_mm / 2
        near = radius / USUAL_DISTANCE_MM
        axis = moved(found, factor)
        shell = read_shell(pixels, axis, MAX_THREAD_PX, near, vouched=vouched)
        if shell is not None:
            return placed_by_thread(shell, radius, spec)
        found = NO_THREAD
    if seen.tip is None or not vouched:
        return found
    rough = rough_axis(seen.shell, seen.factor, seen.tip)
    return found if rough is None else placed_by_outline(pixels, moved(rough, factor))


def _on_view(plug: NDArray[np.bool_], placed: Placed, scale: float) -> NDArray[np.bool_]:
    """Plug mask of a reduced picture on the upright grid."""
    upright = placed.upright
    matrix = upright.to_photo * scale
    matrix[:, 2] += 0.5 * scale - 0.5
    size = (upright.pixels.shape[1], upright.pixels.shape[0])
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    soft = cv2.warpAffine(plug.astype(np.float32), matrix, size, flags=flags)
    return np.asarray(soft > 0.5)
