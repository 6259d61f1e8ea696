"""The record that leaves the view room: a plug upright, neutral, and to scale."""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from plugsight.vocabulary.quality import QualityNote
from plugsight.vocabulary.refusal import NotMeasured

SIDE_WITHIN_DEG = 15.0
"""Tilt up to which a view counts as one from the side."""


class ViewKind(StrEnum):
    """From where the plug is seen: side within 15 degrees of side-on, end within 35 degrees of end-on."""

    SIDE = "side"
    OBLIQUE = "oblique"
    END = "end"


@dataclass(frozen=True, slots=True, eq=False)
class Card:
    """The grey card as found.

    ``mask`` is ``(rows, cols)`` bool on the photo's grid (may be at reduced size, see ``mask_scale``);
    ``gain`` ``(3,)`` turns linear photo RGB into reflectance-like values in which the card is 0.18;
    ``u_gain`` is its relative standard uncertainty.
    """

    mask: NDArray[np.bool_]
    mask_scale: float
    gain: tuple[float, float, float]
    u_gain: float


@dataclass(frozen=True, slots=True)
class ThreadReading:
    """What was read off a thread; its scale follows once tilt and distance are known.

    ``front_px`` is the turns' period on the front and ``sides_px`` that on the silhouette with its standard uncertainty, in view pixels
    (None where no silhouette was read); ``height`` of the gap above the thread's middle, in thread radii. ``nearness`` is the thread's
    radius over the camera's distance with its standard uncertainty, as the turns show it.
    """

    front_px: float
    sides_px: tuple[float, float] | None
    height: float
    nearness: tuple[float, float]


@dataclass(frozen=True, slots=True)
class Scale:
    """Millimetres per view pixel in the plane of the plug's axis at the gap, from the thread's ``reading`` where it has one."""

    mm_per_px: float
    u_mm_per_px: float
    thread: str
    crests: int
    reading: ThreadReading | None = None


@dataclass(frozen=True, slots=True)
class Pose:
    """How the plug stands to the camera. ``tilt_deg`` is signed, at the gap: positive = camera sees the end face."""

    kind: ViewKind
    axis_deg: float
    """Turn of the plug's axis in the photo, clockwise from upright, before it was turned."""
    tilt_deg: float
    u_tilt_deg: float


@dataclass(frozen=True, slots=True, eq=False)
class View:
    """One plug, firing end up, axis vertical, colour-neutral.

    ``pixels`` ``(rows, cols, 3)`` float32 linear RGB, the card at 0.18 (white near 1; highlights may exceed 1);
    without a card the photo's own white is kept and ``card`` is a refusal.
    ``canonical`` ``(320, 320, 3)`` uint8 sRGB: thread's major diameter 45 % of the width (side, oblique) or the shell's
    outer circle 80 % (end), gap region about 35 % from the top.
    ``axis_col`` is the column of the plug's axis, ``face_row`` the row of the shell face's nearest rim on the axis.
    ``to_photo`` ``(2, 3)`` maps view ``(col, row, 1)`` to photo ``(col, row)``. ``proven``: a thread, or the finder alone, showed that
    this is a plug; if not, its parts must.
    """

    photo_name: str
    photo_digest: str
    pixels: NDArray[np.float32]
    plug: NDArray[np.bool_]
    canonical: NDArray[np.uint8]
    canonical_to_view: NDArray[np.float64]
    axis_col: float
    face_row: float
    card: Card | NotMeasured
    pose: Pose
    scale: Scale | NotMeasured
    to_photo: NDArray[np.float64]
    notes: tuple[QualityNote, ...] = ()
    proven: bool = True
