"""Is the photo fit to measure? Each test that fails is a flag with its remedy, in words for the bench."""

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.view.develop import Placed
from plugsight.view.record import Card, ViewKind
from plugsight.view.sighting import Sighting
from plugsight.vocabulary.quality import Quality, QualityNote
from plugsight.vocabulary.refusal import NotMeasured

NEEDED_PX_PER_MM = 28.0
"""Pixels per millimetre below which a gap can't be measured to 0.02 mm (edges are good to about half a pixel)."""

SHARP_PX = 3.0
"""Edges at the tip wider than this (standard deviation, photo pixels) are blurred: 0.1 mm at 28 pixels per mm."""

_OWN_BLUR = 0.7**2 + 1 / 3
"""Variance that the smoothing and the two-pixel difference of the slope add, pixels squared."""

_DARK, _BRIGHT, _CLIPPED_SHARE = 25, 250, 0.12
_UNEVEN = 0.20
"""Card whose light differs by more than this from end to end is unevenly lit."""


def notes_on(
    shape: tuple[int, ...], seen: Sighting, placed: Placed, card: Card | NotMeasured, plug: NDArray[np.bool_]
) -> tuple[QualityNote, ...]:
    """Flags of one view, in the order of their numbers. ``shape`` is the photo's, ``plug`` on the upright grid."""
    notes = [
        *_on_card(card),
        *_on_light(placed, plug),
        *_on_focus(placed, plug),
        *_on_size(placed),
    ]
    if seen.several:
        words = "more than one plug is in the picture; the one with the largest firing end was taken"
        notes.append(QualityNote(Quality.SEVERAL_PLUGS, words, "Photograph one plug at a time"))
    notes += _on_frame(shape, placed, plug)
    if placed.contradiction is not None:
        remedy = "Check the plug against the spec, or correct the spec's thread"
        notes.append(QualityNote(Quality.THREAD_CONTRADICTS_SPEC, placed.contradiction, remedy))
    if isinstance(placed.scale, NotMeasured):
        notes.append(QualityNote(Quality.NO_SCALE, placed.scale.reason, placed.scale.remedy))
    return tuple(sorted(notes, key=lambda note: note.flag))


def _on_card(card: Card | NotMeasured) -> list[QualityNote]:
    if isinstance(card, NotMeasured):
        clipped = "too bright" in card.reason or "too dark" in card.reason
        flag = Quality.CARD_CLIPPED if clipped else Quality.NO_CARD
        return [QualityNote(flag, f"{card.reason}: colours can't be trusted", card.remedy)]
    if card.u_gain > _UNEVEN:
        words = f"the light on the card is uneven or mixed (by {100 * card.u_gain:.0f} %)"
        return [QualityNote(Quality.MIXED_LIGHT, words, "Use one light, and keep shadows off the card")]
    return []


def _on_light(placed: Placed, plug: NDArray[np.bool_]) -> list[QualityNote]:
    some = (slice(None, None, 3), slice(None, None, 3))
    values = placed.upright.pixels[some][plug[some] & placed.upright.inside[some]]
    if values.size == 0:
        return []
    if float(np.percentile(values.max(axis=1), 90)) < _DARK:
        return [QualityNote(Quality.TOO_DARK, "the plug is nearly black in the photo", "Use more light")]
    blown = float(np.mean(values.min(axis=1) >= _BRIGHT))
    if blown > _CLIPPED_SHARE:
        words = f"{100 * blown:.0f} % of the plug is burnt out to white"
        return [
            QualityNote(Quality.TOO_BRIGHT, words, "Turn the flash off, or tap on the plug to expose for it")
        ]
    return []


def _on_focus(placed: Placed, plug: NDArray[np.bool_]) -> list[QualityNote]:
    width, upright = placed.thread_px, placed.upright
    top = int(max(0, upright.face_row - 0.7 * width))
    low = int(upright.face_row + (0.5 * width if placed.pose.kind is ViewKind.END else 0.05 * width))
    side = slice(int(max(0, upright.axis_col - 0.5 * width)), int(upright.axis_col + 0.5 * width))
    blur = edge_width(upright.pixels[top:low, side, 1], plug[top:low, side]) * placed.photo_px_per_px
    if blur <= max(SHARP_PX, 0.008 * width * placed.photo_px_per_px):
        return []
    words = f"the tip is out of focus (edges {blur:.0f} pixels wide)"
    return [QualityNote(Quality.BLURRED, words, "Tap on the tip to focus, hold still, or step back a little")]


def edge_width(grey: NDArray[np.uint8], where: NDArray[np.bool_]) -> float:
    """Width of the sharpest edges, as the standard deviation of a Gaussian blur in pixels; 0 where nothing is seen.

    ``grey`` and ``where`` ``(rows, cols)``. A blurred step of height h has a slope of at most h / (s sqrt(2 pi)) and a range of h
    in its neighbourhood (identity of the Gaussian); the sharpest twentieth of the strong edges counts.
    """
    if grey.size == 0 or not where.any():
        return 0.0
    soft = cv2.GaussianBlur(grey, (0, 0), 0.7)
    slope = cv2.magnitude(
        cv2.Sobel(soft, cv2.CV_32F, 1, 0, scale=1 / 8), cv2.Sobel(soft, cv2.CV_32F, 0, 1, scale=1 / 8)
    )
    best = np.inf
    for reach in (9, 21, 41):
        kernel = np.ones((reach, reach), np.uint8)
        height = cv2.dilate(soft, kernel) - cv2.erode(soft, kernel)
        strong = where & (height > max(25.0, 0.6 * float(height[where].max())))
        if strong.sum() < 20:
            continue
        ratio = slope[strong] / height[strong]
        width = 1 / (np.sqrt(2 * np.pi) * max(float(np.percentile(ratio, 97)), 1e-3))
        best = min(best, float(np.sqrt(max(width**2 - _OWN_BLUR, 0.0)))) if width < reach / 4 else best
    return 0.0 if not np.isfinite(best) else best


def _on_size(placed: Placed) -> list[QualityNote]:
    if isinstance(placed.scale, NotMeasured):
        return []
    density = placed.photo_px_per_px / placed.scale.mm_per_px
    if density >= NEEDED_PX_PER_MM:
        return []
    words = f"{density:.0f} pixels per millimetre, {NEEDED_PX_PER_MM:.0f} needed"
    return [QualityNote(Quality.TOO_FEW_PIXELS, words, "Move closer, or use the phone's full resolution")]


def _on_frame(shape: tuple[int, ...], placed: Placed, plug: NDArray[np.bool_]) -> list[QualityNote]:
    """Flag a firing end that reaches the photo's frame."""
    upright = placed.upright
    low = int(upright.face_row if placed.pose.kind is not ViewKind.END else upright.pixels.shape[0])
    shown = plug[: max(low, 1)]
    rows = np.flatnonzero(shown.any(axis=1))
    if rows.size == 0:
        return []
    first, last = shown[rows].argmax(axis=1), shown.shape[1] - 1 - shown[rows, ::-1].argmax(axis=1)
    ends = np.stack([np.append(first, last), np.append(rows, rows), np.ones(2 * rows.size)])
    places = upright.to_photo @ ends
    margin = 0.004 * max(shape)
    out = (
        (places < margin).any()
        or (places[0] > shape[1] - 1 - margin).any()
        or (places[1] > shape[0] - 1 - margin).any()
    )
    if not out:
        return []
    return [
        QualityNote(
            Quality.CUT_OFF,
            "the firing end is cut off by the frame",
            "Leave a margin all round the firing end",
        )
    ]
