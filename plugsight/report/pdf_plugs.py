"""One row per plug: pictures, what was seen and read, and what becomes of it."""

import math

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from plugsight.report.drawing import Ink
from plugsight.report.pdf_sheet import Sheet
from plugsight.report.plug_lines import PlugLine, plug_lines
from plugsight.report.record import PlugRow, Report
from plugsight.report.signs import SIGN_MM, sign
from plugsight.report.sources import sources_of

_PICTURE, _SMALL, _LABEL = 34.0, 16.0, 23.0


def plugs(sheet: Sheet, report: Report) -> None:
    """Write the section of all plugs."""
    sheet.heading("Plug by plug", need=70)
    sources = sources_of(report)
    for row in report.plugs:
        _plug(sheet, row, plug_lines(row, sources))


def _plug(sheet: Sheet, row: PlugRow, lines: tuple[PlugLine, ...]) -> None:
    x = sheet.left + 2 * _PICTURE + 8
    width = sheet.left + sheet.wide - x
    text = sum(_height(sheet, line, width) for line in lines) + SIGN_MM + 4
    tall = max(text, _pictures_height(row))
    sheet.keep(tall + 5)
    y = sheet.get_y()
    _pictures(sheet, row, y)
    top = y
    number = str(row.place)
    sheet.words(number, x, y - 1.2, _LABEL, size=20, bold=True)
    sheet.mark(sign(row.verdict.action), x + _LABEL, y)
    words = row.verdict.action.words
    sheet.words(words, x + _LABEL + SIGN_MM + 2.5, y + 1, width - _LABEL - 10, size=10.5, bold=True)
    y = max(sheet.get_y(), y + SIGN_MM) + 2.5
    for line in lines:
        below = sheet.words(line.label, x, y + 0.5, _LABEL - 1, size=7.5, ink=Ink.SOFT)
        y = max(below, sheet.words(line.text, x + _LABEL, y, width - _LABEL, bold=line.strong)) + 0.5
    bottom = max(y, top + _pictures_height(row)) + 2
    sheet.rule(bottom)
    sheet.set_y(bottom + 3)


def _height(sheet: Sheet, line: PlugLine, width: float) -> float:
    tall = sheet.height(line.label, _LABEL - 1, size=7.5)
    return max(tall, sheet.height(line.text, width - _LABEL, bold=line.strong)) + 0.5


def _pictures_height(row: PlugRow) -> float:
    if not row.pictures:
        return 14.0
    return _PICTURE + 5 + math.ceil((len(row.pictures) - 1) / 2) * (_SMALL + 2)


def _pictures(sheet: Sheet, row: PlugRow, y: float) -> None:
    """Place the first photo with its overlay large, the others small below."""
    if not row.pictures:
        sheet.words("no photo", sheet.left, y, 2 * _PICTURE, ink=Ink.SOFT)
        return
    first, *more = row.pictures
    pair = ((first.picture, "upright, light by the card"), (first.overlay, "parts and gap as found"))
    for k, (pixels, words) in enumerate(pair):
        at = sheet.left + k * (_PICTURE + 2)
        _place(sheet, pixels, at, y, _PICTURE, f"{first.caption}, {words}")
        sheet.words(words, at, y + _PICTURE + 0.6, _PICTURE, size=7.5, ink=Ink.SOFT)
    for k, picture in enumerate(more):
        top = y + _PICTURE + 5 + (k // 2) * (_SMALL + 2)
        for j, pixels in enumerate((picture.picture, picture.overlay)):
            at = sheet.left + (2 * (k % 2) + j) * (_SMALL + 2)
            _place(sheet, pixels, at, top, _SMALL, picture.caption)


def _place(sheet: Sheet, pixels: NDArray[np.uint8] | None, x: float, y: float, side: float, alt: str) -> None:
    if pixels is None:
        sheet.set_draw_color(195, 202, 205)
        sheet.set_line_width(0.25)
        sheet.rect(x, y, side, side)
        sheet.words("none", x + 1.5, y + side / 2 - 2, side - 3, size=7.5, ink=Ink.SOFT)
        return
    picture = Image.fromarray(pixels)
    # 10 pixels per mm prints sharply; more only makes the file heavy
    picture.thumbnail((round(side * 10), round(side * 10)))
    sheet.image(picture, x=x, y=y, w=side, h=side, keep_aspect_ratio=True, alt_text=alt)
