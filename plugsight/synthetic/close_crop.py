"""The close-up: nose and electrodes finer than the canonical crop and turned alike, made here from the true pose.

Side and oblique views are three times finer, the centre electrode's top in the middle (where it is hidden, the middle of
the canonical crop, 35 % from its top); end views five thirds times finer round the same middle. About 31 pixels per mm on
an M14 plug in both.
"""

from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.synthetic.canonical_crop import CROP_PX, GAP_SHARE, OUTSIDE, Bytes
from plugsight.synthetic.phone_camera import to_linear, to_srgb

CLOSE_PX = 320
FINER, FINER_END = 3.0, 5.0 / 3.0
JITTER_PX, JITTER_SCALE = 14.0, 0.02
"""How far a close-up is off, as those cut by a pose and parts that were found, not known."""
CENTRE_ELECTRODE = 3
LEAST_ELECTRODE = 6
"""Pixels of the canonical crop under which a centre electrode counts as hidden."""
_MIDDLE = (CLOSE_PX - 1) / 2


def close_up(photo: Bytes, mask: Bytes, row: dict[str, Any], rng: np.random.Generator) -> tuple[Bytes, Bytes]:
    """Cut the close-up ``(320, 320, 3)`` and its part labels ``(320, 320)``, 255 outside the photo.

    ``photo`` ``(rows, cols, 3)`` RGB and its ``mask``, ``row`` the picture's truth. Neutral by the card like the canonical crop.
    """
    window = close_window(mask, row, rng)
    step = float(np.hypot(window[0, 0], window[1, 0]))
    linear = to_linear((photo / 255.0).astype(np.float32)) * np.array(row["crop_gains"], np.float32)
    source = cv2.GaussianBlur(linear, (0, 0), 0.35 * step) if step > 1.3 else linear
    size = (CLOSE_PX, CLOSE_PX)
    picture = cv2.warpAffine(source, window, size, flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP)
    labels = cv2.warpAffine(
        mask, window, size, flags=cv2.INTER_NEAREST | cv2.WARP_INVERSE_MAP, borderValue=OUTSIDE
    )
    neutral = np.asarray(np.round(to_srgb(np.asarray(picture, np.float32)) * 255), np.uint8)
    neutral[labels == OUTSIDE] = np.uint8(118)
    return neutral, np.asarray(labels, np.uint8)


def close_window(mask: Bytes, row: dict[str, Any], rng: np.random.Generator) -> NDArray[np.float64]:
    """``(2, 3)`` from close-up to photo ``(column, row, 1)``, disturbed by ``rng``."""
    to_canonical = np.vstack([np.array(row["crop_matrix"]), (0.0, 0.0, 1.0)])
    end = row["kind"] == "end"
    step = np.exp(rng.uniform(-JITTER_SCALE, JITTER_SCALE)) / (FINER_END if end else FINER)
    middle = np.array([(CROP_PX - 1) / 2] * 2) if end else _electrode(mask, to_canonical)
    middle = middle + step * rng.uniform(-JITTER_PX, JITTER_PX, 2)
    canonical = np.array(
        [[step, 0.0, middle[0] - step * _MIDDLE], [0.0, step, middle[1] - step * _MIDDLE], [0.0, 0.0, 1.0]]
    )
    window: NDArray[np.float64] = (np.linalg.inv(to_canonical) @ canonical)[:2]
    return window


def _electrode(mask: Bytes, to_canonical: NDArray[np.float64]) -> NDArray[np.float64]:
    """Canonical column of the centre electrode's middle and row of its top."""
    rows, cols = np.nonzero(mask == CENTRE_ELECTRODE)
    if len(rows) * abs(np.linalg.det(to_canonical[:2, :2])) < LEAST_ELECTRODE:
        return np.array([(CROP_PX - 1) / 2, GAP_SHARE * CROP_PX])
    x, y = to_canonical[:2] @ np.stack([cols, rows, np.ones(len(rows))])
    return np.array([np.median(x), np.percentile(y, 2)])
