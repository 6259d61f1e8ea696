"""The room's verb: a ``Photo`` to a ``View``, or why not."""

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.photo.record import Photo
from plugsight.photo.reduce import reduce_by
from plugsight.view import canonical
from plugsight.view.card import find_card, neutral_light
from plugsight.view.fitness import notes_on
from plugsight.view.ground import separate
from plugsight.view.locate import NO_THREAD, SEARCH_SIDE, locate_axis, moved
from plugsight.view.record import Pose, View, ViewKind
from plugsight.view.rim import find_rim
from plugsight.view.scale import scale_of
from plugsight.view.sighting import sight
from plugsight.view.stance import GAP_ABOVE_FACE, USUAL_DISTANCE_MM, stance_of
from plugsight.view.thread import read_shell
from plugsight.view.upright import MAX_THREAD_PX, Upright
from plugsight.vocabulary.engine import PlugSpec
from plugsight.vocabulary.refusal import NotFound
from plugsight.vocabulary.threads import THREADS

_SIDE_WITHIN = 15.0
_USUAL_RADIUS_MM = 7.0


def take_view(photo: Photo, spec: PlugSpec) -> View | NotFound:
    """Find the plug, turn it upright, neutralise its light and set its scale.

    ``NotFound`` where the picture shows no plug thread. Where only the card, the scale or the pose is missing, the view
    carries the refusal in that field and the flag in ``notes``.
    """
    factor = -(-max(photo.pixels.shape) // SEARCH_SIDE)
    reduced = reduce_by(photo.pixels, factor)
    ground = separate(reduced)
    seen = sight(reduced, ground)
    if isinstance(seen, NotFound):
        return seen
    found = locate_axis(reduced, seen.shell, seen.factor, seen.tip)
    if isinstance(found, NotFound):
        return found
    axis = moved(found, factor)
    thread = THREADS.get(spec.thread or "")
    radius = _USUAL_RADIUS_MM if thread is None else thread.diameter_mm / 2
    nearness = radius / USUAL_DISTANCE_MM
    shell = read_shell(photo.pixels, axis, MAX_THREAD_PX, nearness, vouched=seen.tip is not None)
    if shell is None:
        return NO_THREAD
    upright, width = shell.upright, shell.width_px
    plug = _on_view(seen.plug, upright, seen.factor / factor)
    rim = find_rim(shell.coded, upright.axis_col, upright.face_row, width, shell.turns.tilt_deg, 3.0)
    base_row = upright.face_row if rim is None else rim.base_row
    stance = stance_of(shell.turns, base_row - GAP_ABOVE_FACE * width, width, radius)
    drop = 0.45 * width * float(np.sin(np.radians(stance.gap_tilt_deg)))
    kind = ViewKind.SIDE if abs(stance.gap_tilt_deg) <= _SIDE_WITHIN else ViewKind.OBLIQUE
    pose = Pose(kind, axis.turn_deg, stance.gap_tilt_deg, stance.u_tilt_deg)
    scale = scale_of(shell, stance, spec)
    card = find_card(ground, seen.plug, seen.card, ground.factor / factor)
    pixels = neutral_light(upright.pixels, card)
    pixels[~upright.inside] = canonical.OUTSIDE
    window = canonical.side_window(upright.axis_col, base_row - GAP_ABOVE_FACE * width, width)
    return View(
        photo_name=photo.name,
        photo_digest=photo.digest,
        pixels=pixels,
        plug=plug,
        canonical=canonical.crop(pixels, window),
        canonical_to_view=window,
        axis_col=upright.axis_col,
        face_row=base_row + drop,
        card=card,
        pose=pose,
        scale=scale,
        to_photo=upright.to_photo,
        notes=(*photo.notes, *notes_on(upright, card, pose, scale, axis)),
    )


def _on_view(plug: NDArray[np.bool_], upright: Upright, scale: float) -> NDArray[np.bool_]:
    """Plug mask of the reduced picture on the upright grid."""
    matrix = upright.to_photo * scale
    matrix[:, 2] += 0.5 * scale - 0.5
    size = (upright.pixels.shape[1], upright.pixels.shape[0])
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    soft = cv2.warpAffine(plug.astype(np.float32), matrix, size, flags=flags)
    return np.asarray(soft > 0.5)
