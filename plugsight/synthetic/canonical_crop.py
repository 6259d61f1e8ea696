"""The canonical crop: plug upright, at one scale, colour made neutral by the grey card; made here from the true pose.

Side and oblique views: the thread's major diameter spans 45 % of the width, the gap stands 35 % from the top, the axis
in the middle. End views: the shell's outer circle spans 80 % of the width, its centre in the middle.
"""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.synthetic.phone_camera import to_linear, to_srgb
from plugsight.synthetic.viewpoint import Camera, Viewpoint

CROP_PX = 320
WIDTH_SHARE, GAP_SHARE, END_SHARE = 0.45, 0.35, 0.80
GREY = 0.18
OUTSIDE = 255
"""Mask value beyond the photo; the picture there is mid-grey (sRGB 118, 18 %)."""
QUALITY = 78
Bytes = NDArray[np.uint8]


@dataclass(frozen=True, eq=False)
class CanonicalCrop:
    """``picture`` (320, 320, 3) RGB and ``mask`` (320, 320) part labels, 255 outside the photo."""

    picture: Bytes
    mask: Bytes
    matrix: NDArray[np.float64]
    """(2, 3): crop column and row from photo column and row."""
    px_per_mm: float
    gains: tuple[float, float, float]
    """Linear gains that made the card 18 % grey."""


def card_gains(photo: Bytes, card: NDArray[np.bool_]) -> tuple[float, float, float] | None:
    """Return linear gains from the card's pixels, or ``None`` where fewer than 400 unclipped ones are seen."""
    spots = photo[card]
    spots = spots[(spots.max(1) < 250) & (spots.min(1) > 8)] if len(spots) else spots
    if len(spots) < 400:
        return None
    grey = to_linear((np.median(spots, 0) / 255.0).astype(np.float32))
    gain = GREY / np.clip(grey, 1e-3, None)
    return float(gain[0]), float(gain[1]), float(gain[2])


def crop_matrix(
    view: Viewpoint, camera: Camera, major_diameter_mm: float
) -> tuple[NDArray[np.float64], float]:
    """Return the (2, 3) similarity from photo to crop, and the crop's pixels per mm at the shell face."""
    face = camera.project(np.zeros((1, 3)))[0]
    scale_photo = camera.focal_px / face[2]
    if view.kind == "end":
        wanted = END_SHARE * CROP_PX / major_diameter_mm
        up = np.array([0.0, -1.0])
        anchor, place = face[:2], np.array([(CROP_PX - 1) / 2, (CROP_PX - 1) / 2])
    else:
        wanted = WIDTH_SHARE * CROP_PX / major_diameter_mm
        gap = camera.project(np.array([view.gap_mm]))[0]
        ends = camera.project(np.array([[0, 0, view.gap_mm[2]], [0, 0, view.gap_mm[2] - major_diameter_mm]]))
        up = ends[0, :2] - ends[1, :2]
        up = up / np.linalg.norm(up)
        on_axis = ends[0, :2]
        anchor, place = (
            on_axis + up * float((gap[:2] - on_axis) @ up),
            np.array([(CROP_PX - 1) / 2, GAP_SHARE * CROP_PX]),
        )
    s = wanted / scale_photo
    # Rotation that takes the photo's ``up`` to (0, -1).
    turn = np.array([[-up[1], up[0]], [-up[0], -up[1]]]) * s
    return np.concatenate([turn, (place - turn @ anchor)[:, None]], 1), wanted


def canonical_crop(
    photo: Bytes,
    mask: Bytes,
    view: Viewpoint,
    camera: Camera,
    major_diameter_mm: float,
    gains: tuple[float, float, float],
) -> CanonicalCrop:
    """Warp photo and part mask to the canonical crop and apply the card's gains in linear light."""
    matrix, scale = crop_matrix(view, camera, major_diameter_mm)
    shrink = float(np.hypot(matrix[0, 0], matrix[0, 1]))
    source = cv2.GaussianBlur(photo, (0, 0), 0.45 / shrink) if shrink < 0.8 else photo
    size = (CROP_PX, CROP_PX)
    picture = cv2.warpAffine(source, matrix, size, flags=cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    labels = cv2.warpAffine(
        mask, matrix, size, flags=cv2.INTER_NEAREST, borderMode=cv2.BORDER_CONSTANT, borderValue=255
    )
    linear = to_linear((picture / 255.0).astype(np.float32)) * np.array(gains, np.float32)
    neutral = np.asarray(np.round(to_srgb(linear) * 255), np.uint8)
    neutral[labels == OUTSIDE] = np.uint8(118)
    return CanonicalCrop(neutral, np.asarray(labels, np.uint8), matrix, scale, gains)
