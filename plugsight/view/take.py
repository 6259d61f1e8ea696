"""The room's verb: a ``Photo`` to a ``View``, or why not."""

from dataclasses import replace

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.photo.record import Photo
from plugsight.photo.tone import decode
from plugsight.view import canonical
from plugsight.view.axis import Axis, find_axis
from plugsight.view.card import find_card, neutralise
from plugsight.view.fitness import notes_on
from plugsight.view.flanks import find_period, flank_signals
from plugsight.view.ground import Ground, separate
from plugsight.view.record import Pose, View, ViewKind
from plugsight.view.ruler import measure_period
from plugsight.view.scale import scale_of
from plugsight.view.silhouette import trace_sides
from plugsight.view.tilt import find_rim, signed_tilt
from plugsight.view.turns import LEAST_LIKENESS, follow_turns
from plugsight.view.upright import Upright, make_upright
from plugsight.vocabulary.engine import PlugSpec
from plugsight.vocabulary.refusal import NotFound

_SIDE_WITHIN = 15.0


def take_view(photo: Photo, spec: PlugSpec) -> View | NotFound:
    """Find the plug, turn it upright, neutralise its light and set its scale.

    ``NotFound`` where the picture shows no plug thread. Where only the card, the scale or the pose is missing, the view
    carries the refusal in that field and the flag in ``notes``.
    """
    ground = separate(photo.pixels)
    if isinstance(ground, NotFound):
        return ground
    axis = find_axis(ground.plug)
    if isinstance(axis, NotFound):
        return axis
    axis = _to_photo(axis, ground.factor)
    upright = make_upright(photo.pixels, axis)
    lab = np.asarray(
        cv2.cvtColor(upright.pixels.astype(np.float32) / 255, cv2.COLOR_RGB2Lab), dtype=np.float32
    )
    shrink = upright.width / axis.width
    last = min(upright.face_row + axis.length * shrink, upright.pixels.shape[0] - 1)
    rows = np.arange(int(upright.face_row), int(last))
    middle = np.full(rows.size, upright.axis_col)
    signals = flank_signals(lab[..., 0], middle, rows, upright.width)
    flank = find_period(signals, upright.width)
    if flank is None:
        return _no_thread()
    turns = follow_turns(signals, flank.px, upright.width)
    if turns.likeness < LEAST_LIKENESS:
        return _no_thread()
    sides = trace_sides(
        lab, upright.inside, (middle - upright.width / 2, middle + upright.width / 2), rows, upright.width
    )
    period = measure_period(sides, upright.width, flank.px)
    plug = _on_view(ground, upright)
    rim = find_rim(plug, upright.axis_col, upright.face_row, upright.width, turns)
    tilt, u_tilt = signed_tilt(rim, turns, upright.width)
    face_row = upright.face_row
    if rim is not None:
        face_row = rim.base_row + (rim.height_px if tilt > 0 else -rim.height_px)
    kind = ViewKind.SIDE if abs(tilt) <= _SIDE_WITHIN else ViewKind.OBLIQUE
    pose = Pose(kind=kind, axis_deg=axis.turn_deg, tilt_deg=tilt, u_tilt_deg=u_tilt)
    scale = scale_of(period, flank, upright.width, pose, spec)
    card = find_card(ground)
    pixels = neutralise(decode(upright.pixels), card)
    pixels[~upright.inside] = canonical.OUTSIDE
    rim_row = rim.base_row if rim is not None else upright.face_row
    window = canonical.side_window(upright.axis_col, rim_row - 0.2 * upright.width, upright.width)
    return View(
        photo_name=photo.name,
        photo_digest=photo.digest,
        pixels=pixels,
        plug=plug,
        canonical=canonical.crop(pixels, window),
        canonical_to_view=window,
        axis_col=upright.axis_col,
        face_row=face_row,
        card=card,
        pose=pose,
        scale=scale,
        to_photo=upright.to_photo,
        notes=(*photo.notes, *notes_on(upright, card, pose, scale, axis)),
    )


def _no_thread() -> NotFound:
    return NotFound(
        "two parallel sides were found, but no thread between them",
        "Take the photo from the side, with at least four turns of the thread sharp and in the picture",
    )


def _to_photo(axis: Axis, factor: float) -> Axis:
    """Axis found on the reduced picture, in the photo's pixels (pixel centres at whole numbers)."""
    return replace(
        axis,
        col=(axis.col + 0.5) / factor - 0.5,
        row=(axis.row + 0.5) / factor - 0.5,
        width=axis.width / factor,
        length=axis.length / factor,
        top=axis.top / factor,
    )


def _on_view(ground: Ground, upright: Upright) -> NDArray[np.bool_]:
    """Plug mask of the reduced picture on the upright grid."""
    matrix = upright.to_photo * ground.factor
    matrix[:, 2] += 0.5 * ground.factor - 0.5
    size = (upright.pixels.shape[1], upright.pixels.shape[0])
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    soft = cv2.warpAffine(ground.plug.astype(np.float32), matrix, size, flags=flags)
    return np.asarray(soft > 0.5)
