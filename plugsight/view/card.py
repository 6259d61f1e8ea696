"""The grey card behind the plug: white balance and exposure, and how sure they are."""

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.photo.tone import decode, decode_in_light, srgb_to_linear
from plugsight.view.ground import Ground
from plugsight.view.record import Card
from plugsight.vocabulary.refusal import NotMeasured

GREY = 0.18
"""Reflectance of a photographer's grey card (common practice; its L* is 49.496 by CIE 15)."""

CLIPPED = (5 / 255, 250 / 255)
"""Coded values at or beyond these carry no colour: no gain is taken from them."""

_LEAST_SHARE = 0.015
"""A card patch smaller than this part of the picture is too small to tell from clutter."""

_SMOOTH = 1.5
"""Card pixels change less than this from one to the next, Lab units on the reduced picture: grain, not pattern."""

_SAME_LIGHT, _SAME_HUE = 18.0, 6.0
"""Pixels this close in L* and in a*, b* to the card's commonest are card, shadow and gradient allowed."""

_STRONGEST_CAST = 3.0
"""Linear channel ratio beyond which a background is coloured: 2700 K light untouched by white balance gives 2.6."""

_REMEDY = "Lay the plug on a plain grey card that fills the picture behind the firing end"


def find_card(
    ground: Ground, plug: NDArray[np.bool_], hint: NDArray[np.bool_] | None, mask_scale: float
) -> Card | NotMeasured:
    """Card of the picture taken apart in ``ground``, or why there is none.

    ``plug`` and ``hint`` (where the finder sees a card, or None) are bool on any grid of the same picture; ``mask_scale``:
    pixels of ``ground`` per photo pixel. The gain is 0.18 over the card's middle in linear light, per channel. Its
    relative standard uncertainty is the card's own unevenness (shadow, gradient) over the part of it near the plug,
    and 3 % for the phone's tone curve.
    """
    lab = ground.lab
    grown = cv2.dilate(_fitted(plug, lab.shape[:2]).astype(np.uint8), np.ones((7, 7), np.uint8)).astype(bool)
    quiet = ~grown & (ground.edges < _SMOOTH)
    like = _largest_grey(lab, quiet) if hint is None else quiet & _fitted(hint, lab.shape[:2])
    like = cv2.erode(like.astype(np.uint8), np.ones((3, 3), np.uint8)).astype(bool)
    if like.mean() < _LEAST_SHARE:
        return NotMeasured("no grey card was seen", _REMEDY)
    level = np.median(_coded(_some(lab, like)), axis=0)
    if level.max() >= CLIPPED[1] or level.min() <= CLIPPED[0]:
        return NotMeasured(
            f"the card is {'too bright' if level.max() >= CLIPPED[1] else 'too dark'} to read",
            "Tap on the card to set the exposure, and take the photo again",
        )
    linear = srgb_to_linear(level)
    if linear.max() > _STRONGEST_CAST * linear.min():
        return NotMeasured("what lies behind the plug is coloured, not grey", _REMEDY)
    near = like & (cv2.blur(grown.astype(np.float32), (61, 61)) > 0)
    light = srgb_to_linear(_coded(_some(lab, near if near.sum() > 100 else like)))
    ordered = np.sort(light, axis=0)
    level = ordered[ordered.shape[0] // 4 : ordered.shape[0] - ordered.shape[0] // 4].mean(axis=0)
    spread = 1.4826 * np.median(np.abs(light - np.median(light, axis=0)), axis=0) / level
    gain = GREY / level
    return Card(
        mask=like,
        mask_scale=mask_scale,
        gain=(float(gain[0]), float(gain[1]), float(gain[2])),
        u_gain=float(np.hypot(spread.max(), 0.03)),
    )


def _fitted(mask: NDArray[np.bool_], shape: tuple[int, int]) -> NDArray[np.bool_]:
    """Mask on another grid of the same picture."""
    if mask.shape == shape:
        return mask
    return cv2.resize(mask.astype(np.uint8), (shape[1], shape[0]), interpolation=cv2.INTER_LINEAR) > 0


def _some(lab: NDArray[np.float32], mask: NDArray[np.bool_]) -> NDArray[np.float32]:
    """At most 10,000 pixels of the mask, ``(n, 3)``, evenly taken: enough for a median to a thousandth of its spread."""
    at = np.flatnonzero(mask)
    return lab.reshape(-1, 3)[at[:: 1 + at.size // 10000]]


def _coded(lab: NDArray[np.float32]) -> NDArray[np.float64]:
    """SRGB values 0..1 of Lab ``(n, 3)``."""
    return np.asarray(cv2.cvtColor(lab[:, None], cv2.COLOR_Lab2RGB)[:, 0], dtype=np.float64)


def _largest_grey(lab: NDArray[np.float32], quiet: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Largest joined patch of quiet pixels of one colour, greys before colours."""
    best, answer = 0.0, np.zeros_like(quiet)
    left = quiet.copy()
    light, red, yellow = (lab[..., k] for k in range(3))
    for _ in range(4):
        if left.sum() < max(best, _LEAST_SHARE * left.size):
            break
        centre = [_mode(lab[..., k][left]) for k in range(3)]
        like = left & (np.abs(light - centre[0]) < _SAME_LIGHT)
        like &= (red - centre[1]) ** 2 + (yellow - centre[2]) ** 2 < _SAME_HUE**2
        like = cv2.morphologyEx(like.astype(np.uint8), cv2.MORPH_OPEN, np.ones((5, 5), np.uint8))
        count, labels, stats, _ = cv2.connectedComponentsWithStats(np.asarray(like, dtype=np.uint8))
        left &= ~(like > 0)
        if count < 2:
            break
        k = 1 + int(np.argmax(stats[1:, cv2.CC_STAT_AREA]))
        chroma = float(np.hypot(*np.median(_some(lab, labels == k), axis=0)[1:]))
        score = float(stats[k, cv2.CC_STAT_AREA]) * float(np.exp(-((chroma / 12) ** 2)))
        if score > best:
            best, answer = score, np.asarray(labels == k)
    return answer


def _mode(values: NDArray[np.float32]) -> float:
    """Commonest value, to half a unit."""
    low = int(np.floor(values.min())) - 1
    counts = np.bincount((values - low).astype(np.int32), minlength=5)
    return low + int(np.argmax(np.convolve(counts, np.ones(5), mode="same"))) + 0.5


def neutral_light(pixels: NDArray[np.uint8], card: Card | NotMeasured) -> NDArray[np.float32]:
    """Linear light ``(rows, cols, 3)`` of uint8 sRGB pixels with the card at 0.18; without a card as the photo has it."""
    return decode(pixels) if isinstance(card, NotMeasured) else decode_in_light(pixels, card.gain)
