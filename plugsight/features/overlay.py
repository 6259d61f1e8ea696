"""One picture that lets a person see at once whether the tool looked at the right things."""

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.features.record import Length
from plugsight.photo.tone import encode
from plugsight.segments.record import Part
from plugsight.view.record import Card, Scale, View
from plugsight.vocabulary.refusal import NotMeasured

SIDE = 900
"""Longest side of the overlay in pixels: legible on a phone, small in a report."""
COLOURS = {
    Part.SHELL: (90, 170, 255),
    Part.NOSE: (255, 210, 60),
    Part.CENTRE_ELECTRODE: (255, 90, 200),
    Part.GROUND_ELECTRODE: (90, 230, 120),
}
NAMES = {
    Part.SHELL: "shell",
    Part.NOSE: "nose",
    Part.CENTRE_ELECTRODE: "centre electrode",
    Part.GROUND_ELECTRODE: "strap",
}
_STAIR_PX = 1.0
"""Outlines are drawn without the stairs of the pixels they were found on: a polygon within this, in overlay pixels."""
_FONT = cv2.FONT_HERSHEY_SIMPLEX
_Line = tuple[tuple[float, float], tuple[float, float]]


def draw_overlay(
    view: View, labels: NDArray[np.uint8], gap: Length | NotMeasured, gap_line: _Line | None
) -> NDArray[np.uint8]:
    """Return the view ``(rows, cols, 3)`` uint8 sRGB with parts outlined, gap line, scale bar, and what the card was."""
    top, left, bottom, right = _frame(labels)
    shown = encode(view.pixels[top:bottom, left:right])
    zoom = SIDE / max(shown.shape[:2])
    size = (round(shown.shape[1] * zoom), round(shown.shape[0] * zoom))
    method = cv2.INTER_AREA if zoom < 1 else cv2.INTER_LINEAR
    picture = np.asarray(cv2.resize(shown, size, interpolation=method), dtype=np.uint8)
    parts = np.asarray(
        cv2.resize(labels[top:bottom, left:right], size, interpolation=cv2.INTER_NEAREST), dtype=np.uint8
    )
    for part, colour in COLOURS.items():
        found, _ = cv2.findContours(
            (parts == part).astype(np.uint8), cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE
        )
        outline = [cv2.approxPolyDP(contour, _STAIR_PX, closed=True) for contour in found]
        cv2.drawContours(picture, outline, -1, (0, 0, 0), 4, cv2.LINE_AA)
        cv2.drawContours(picture, outline, -1, colour, 2, cv2.LINE_AA)
    if gap_line is not None:
        ends = [(round((c - left) * zoom), round((r - top) * zoom)) for c, r in gap_line]
        _draw_gap(picture, ends, gap)
    _legend(picture, parts)
    _scale_bar(picture, view.scale, zoom)
    _card(picture, view.card)
    if isinstance(gap, NotMeasured):
        _write(picture, "gap not measured", (12, 30), (255, 190, 120))
    return picture


def _frame(labels: NDArray[np.uint8]) -> tuple[int, int, int, int]:
    """Square of the firing end with half its width around, and no more than that of the thread."""
    tip = labels >= Part.NOSE
    shown = tip if tip.any() else labels > 0
    if not shown.any():
        return 0, 0, labels.shape[0], labels.shape[1]
    rows, cols = np.flatnonzero(shown.any(axis=1)), np.flatnonzero(shown.any(axis=0))
    shell = np.flatnonzero((labels == Part.SHELL).any(axis=0))
    wide = max(np.ptp(cols), np.ptp(rows), np.ptp(shell) if shell.size else 0) + 1
    half = 0.72 * wide
    middle_row, middle_col = (rows[0] + rows[-1]) / 2 + 0.1 * wide, (cols[0] + cols[-1]) / 2
    return (
        max(0, int(middle_row - half)),
        max(0, int(middle_col - half)),
        min(labels.shape[0], int(middle_row + half) + 1),
        min(labels.shape[1], int(middle_col + half) + 1),
    )


def _write(
    picture: NDArray[np.uint8], text: str, where: tuple[int, int], colour: tuple[int, int, int]
) -> None:
    cv2.putText(picture, text, where, _FONT, 0.8, (0, 0, 0), 5, cv2.LINE_AA)
    cv2.putText(picture, text, where, _FONT, 0.8, colour, 2, cv2.LINE_AA)


def _draw_gap(picture: NDArray[np.uint8], ends: list[tuple[int, int]], gap: Length | NotMeasured) -> None:
    for colour, width in (((0, 0, 0), 7), ((255, 60, 60), 3)):
        cv2.line(picture, ends[0], ends[1], colour, width, cv2.LINE_AA)
        for col, row in ends:
            cv2.line(picture, (col - 14, row), (col + 14, row), colour, width, cv2.LINE_AA)
    if isinstance(gap, Length):
        text = f"gap {gap.mm:.2f} +/- {gap.U_mm:.2f} mm"
        _write(picture, text, (12, 30), (255, 150, 150))


def _legend(picture: NDArray[np.uint8], parts: NDArray[np.uint8]) -> None:
    line = 0
    for part, colour in COLOURS.items():
        if (parts == part).any():
            _write(picture, NAMES[part], (12, 62 + 30 * line), colour)
            line += 1


def _scale_bar(picture: NDArray[np.uint8], scale: Scale | NotMeasured, zoom: float) -> None:
    bottom = picture.shape[0] - 24
    if isinstance(scale, NotMeasured):
        _write(picture, "no scale", (12, bottom), (255, 190, 120))
        return
    length = round(2.0 / scale.mm_per_px * zoom)
    for colour, width in (((0, 0, 0), 9), ((255, 255, 255), 5)):
        cv2.line(picture, (16, bottom), (16 + length, bottom), colour, width)
    _write(picture, "2 mm", (26 + length, bottom + 8), (255, 255, 255))


def _card(picture: NDArray[np.uint8], card: Card | NotMeasured) -> None:
    text = "colours by the grey card" if isinstance(card, Card) else "no grey card: colours not trusted"
    width = cv2.getTextSize(text, _FONT, 0.8, 2)[0][0]
    _write(picture, text, (picture.shape[1] - width - 12, picture.shape[0] - 16), (220, 220, 220))
