"""Last part: how to refit, cautions, what was measured and what a person judged, and who signs."""

from plugsight.report.drawing import Ink
from plugsight.report.pdf_sheet import Sheet
from plugsight.report.plug_words import repair_lines
from plugsight.report.record import Report
from plugsight.report.sources import sources_of
from plugsight.report.summary import all_cautions, all_steps, how_known


def close(sheet: Sheet, report: Report) -> None:
    """Write the closing sections."""
    if report.repair is not None:
        sheet.heading("After the repair", need=20)
        sheet.bullets(repair_lines(report.repair), sheet.left, sheet.wide)
    for title, items in (
        ("Cleaning, gap and refit", all_steps(report)),
        ("Cautions", all_cautions(report)),
    ):
        if items:
            _two_columns(sheet, title, items)
    _how_known(sheet, report)
    _sign_off(sheet)


def _two_columns(sheet: Sheet, title: str, items: tuple[str, ...]) -> None:
    """Write a heading and a list in two columns below it on the same page, as even as whole items allow."""
    width = (sheet.wide - 8) / 2
    heights = [sheet.height(item, width - 4, size=8.5) + 0.9 for item in items]
    half = next(k for k in range(1, len(items) + 1) if sum(heights[:k]) >= sum(heights) / 2)
    sheet.heading(title, need=max(sum(heights[:half]), sum(heights[half:])) + 2)
    top = sheet.get_y()
    sheet.bullets(items[:half], sheet.left, width, size=8.5)
    left_end = sheet.get_y()
    sheet.set_y(top)
    sheet.bullets(items[half:], sheet.left + width + 8, width, size=8.5)
    sheet.set_y(max(left_end, sheet.get_y()))


def _how_known(sheet: Sheet, report: Report) -> None:
    sheet.heading("How this is known", need=45)
    y = sheet.get_y()
    model = f"plugsight {report.version}, model {report.model_digest[:12] or 'none'}"
    for label, text in (*how_known(report), ("made with", model)):
        sheet.words(label, sheet.left, y + 0.5, 33, size=7.5, ink=Ink.SOFT)
        y = sheet.words(text, sheet.left + 34, y, sheet.wide - 34) + 0.5
    listed = "   ".join(f"[{k}] {source}" for k, source in enumerate(sources_of(report).items, 1))
    if listed:
        sheet.words("sources", sheet.left, y + 0.5, 33, size=7.5, ink=Ink.SOFT)
        y = sheet.words(listed, sheet.left + 34, y, sheet.wide - 34, size=7.5, ink=Ink.SOFT) + 0.5
    sheet.set_y(sheet.words(report.honesty, sheet.left, y + 1, sheet.wide, bold=True) + 1)


def _sign_off(sheet: Sheet) -> None:
    sheet.keep(22)
    y = sheet.get_y() + 14
    for k, words in enumerate(("date", "name", "signature")):
        x = sheet.left + k * (sheet.wide + 6) / 3
        width = (sheet.wide - 12) / 3
        sheet.set_draw_color(91, 102, 109)
        sheet.set_line_width(0.25)
        sheet.line(x, y, x + width, y)
        sheet.words(words, x, y + 1, width, size=7.5, ink=Ink.SOFT)
    sheet.set_y(y + 6)
