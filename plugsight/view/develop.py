"""From a placed plug to the finished ``View``: light neutralised, canonical crop made."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.photo.record import Photo
from plugsight.view import canonical
from plugsight.view.card import neutral_light
from plugsight.view.record import Card, Pose, Scale, View
from plugsight.view.upright import Upright
from plugsight.vocabulary.quality import QualityNote
from plugsight.vocabulary.refusal import NotMeasured


@dataclass(frozen=True, slots=True, eq=False)
class Placed:
    """A plug stood upright.

    ``face_row`` the near rim on the axis; ``window`` from canonical to view; ``thread_px`` the
    thread's width (side, oblique) or the shell's circle (end) on the upright picture; ``photo_px_per_px`` photo pixels for one of
    its pixels; ``contradiction`` what speaks against the spec's thread, or None.
    """

    upright: Upright
    face_row: float
    window: NDArray[np.float64]
    thread_px: float
    photo_px_per_px: float
    pose: Pose
    scale: Scale | NotMeasured
    contradiction: str | None = None


def develop(
    photo: Photo,
    placed: Placed,
    card: Card | NotMeasured,
    plug: NDArray[np.bool_],
    notes: tuple[QualityNote, ...],
    *,
    proven: bool = True,
) -> View:
    """Neutralise the light with the card's gain and cut the canonical crop."""
    pixels = neutral_light(placed.upright.pixels, card)
    outside = ~placed.upright.inside
    if outside.any():
        grey = np.full_like(pixels, canonical.OUTSIDE)
        pixels = np.asarray(cv2.copyTo(grey, outside.view(np.uint8), pixels), dtype=np.float32)
    return View(
        photo_name=photo.name,
        photo_digest=photo.digest,
        pixels=pixels,
        plug=plug,
        canonical=canonical.crop(pixels, placed.window),
        canonical_to_view=placed.window,
        axis_col=placed.upright.axis_col,
        face_row=placed.face_row,
        card=card,
        pose=placed.pose,
        scale=placed.scale,
        to_photo=placed.upright.to_photo,
        notes=(*photo.notes, *notes),
        proven=proven,
    )
