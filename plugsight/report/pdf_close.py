"""Last part: how to refit, cautions, what was measured and what a person judged, and who signs."""

from plugsight.report.drawing import Ink
from plugsight.report.pdf_sheet import Sheet
from plugsight.report.plug_words import repair_lines
from plugsight.report.record import Report
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
            sheet.heading(title, need=20)
            sheet.bullets(items, sheet.left, sheet.wide)
    _how_known(sheet, report)
    _sign_off(sheet)


def _how_known(sheet: Sheet, report: Report) -> None:
    sheet.heading("How this is known", need=45)
    y = sheet.get_y()
    model = f"plugsight {report.version}, model {report.model_digest[:12] or 'none'}"
    for label, text in (*how_known(report), ("made with", model)):
        sheet.words(label, sheet.left, y + 0.5, 33, size=7.5, ink=Ink.SOFT)
        y = sheet.words(text, sheet.left + 34, y, sheet.wide - 34) + 0.5
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
