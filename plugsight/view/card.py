"""The grey card behind the plug: white balance and exposure, and how sure they are."""

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.photo.tone import decode, srgb_to_linear
from plugsight.view.ground import Ground
from plugsight.view.record import Card
from plugsight.vocabulary.refusal import NotMeasured

GREY = 0.18
"""Reflectance of a photographer's grey card (common practice; its L* is 49.496 by CIE 15)."""

CLIPPED = (5 / 255, 250 / 255)
"""Coded values at or beyond these carry no colour: no gain is taken from them."""

_LEAST_SHARE = 0.04
_STRONGEST_CAST = 3.0
_ROUGHEST = 6.0

_REMEDY = "Lay the plug on a plain grey card that fills the picture behind the firing end"


def find_card(ground: Ground, mask_scale: float) -> Card | NotMeasured:
    """Card of the picture taken apart in ``ground``, or why there is none.

    ``mask_scale``: pixels of the card's mask per photo pixel.

    The gain is 0.18 over the card's middle in linear light, per channel. Its relative standard uncertainty is the
    card's own unevenness (shadow, gradient) over the part of it near the plug, and 3 % for the phone's tone curve.
    """
    grown = cv2.dilate(ground.plug.astype(np.uint8), np.ones((7, 7), np.uint8)).astype(bool)
    quiet = ~grown & (ground.edges < 1.5)
    if quiet.mean() < _LEAST_SHARE:
        return NotMeasured("no grey card was seen", _REMEDY)
    lab = ground.lab
    centre = np.median(lab[quiet], axis=0)
    like = (
        quiet
        & (np.abs(lab[..., 0] - centre[0]) < 18)
        & (np.hypot(*(lab[..., 1:] - centre[1:]).transpose(2, 0, 1)) < 6)
    )
    like = cv2.morphologyEx(like.astype(np.uint8), cv2.MORPH_OPEN, np.ones((5, 5), np.uint8)).astype(bool)
    if like.mean() < _LEAST_SHARE or like.sum() < 0.6 * quiet.sum():
        return NotMeasured("what lies behind the plug is not one even grey", _REMEDY)
    coded = cv2.cvtColor(lab, cv2.COLOR_Lab2RGB)
    level = np.median(coded[like], axis=0).astype(np.float64)
    if level.max() >= CLIPPED[1] or level.min() <= CLIPPED[0]:
        return NotMeasured(
            f"the card is {'too bright' if level.max() >= CLIPPED[1] else 'too dark'} to read",
            "Tap on the card to set the exposure, and take the photo again",
        )
    linear = srgb_to_linear(level)
    if linear.max() > _STRONGEST_CAST * linear.min():
        return NotMeasured("what lies behind the plug is coloured, not grey", _REMEDY)
    rough = float(np.median(ground.edges[like]))
    if rough > _ROUGHEST:
        return NotMeasured("what lies behind the plug is patterned, not a plain card", _REMEDY)
    near = like & (cv2.blur(grown.astype(np.float32), (61, 61)) > 0)
    chosen = np.asarray(coded[near if near.sum() > 100 else like], dtype=np.float64)
    light = srgb_to_linear(chosen[:: 1 + len(chosen) // 20000])
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


def neutral_light(pixels: NDArray[np.uint8], card: Card | NotMeasured) -> NDArray[np.float32]:
    """Linear light ``(rows, cols, 3)`` of uint8 sRGB pixels with the card at 0.18; without a card as the photo has it."""
    linear = decode(pixels)
    if not isinstance(card, NotMeasured):
        linear *= np.array(card.gain, dtype=np.float32)
    return linear
