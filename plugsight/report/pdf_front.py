"""First page: what the job is, how it stands in short, and the set at a glance."""

from io import BytesIO

from plugsight.report.drawing import Ink
from plugsight.report.facts import Fact, engine_facts, job_facts, spec_facts
from plugsight.report.gap_chart import gap_chart, gap_points
from plugsight.report.nose_swatches import nose_swatches
from plugsight.report.pdf_sheet import Sheet
from plugsight.report.record import Report, Shop
from plugsight.report.signs import SIGN_MM, sign
from plugsight.report.summary import repair_first, verdict_groups


def front(sheet: Sheet, report: Report) -> None:
    """Write the first page from its top."""
    _title(sheet, report)
    _facts(sheet, report)
    _in_short(sheet, report)
    _at_a_glance(sheet, report)


def _title(sheet: Sheet, report: Report) -> None:
    y = sheet.get_y()
    text_width = sheet.wide - (_logo(sheet, report.shop, y) if report.shop.logo_png else 0)
    bottom = sheet.words("Spark plug report", sheet.left, y, text_width, size=11, ink=Ink.ACCENT, bold=True)
    bottom = sheet.words(report.engine.name, sheet.left, bottom, text_width, size=22, bold=True)
    day, _, clock = report.made.partition("T")
    line = f"Inspection {report.inspection}, {day} {clock[:5]}, by {report.who or 'not named'}"
    shop = ", ".join(part for part in (report.shop.name, report.shop.contact) if part)
    bottom = sheet.words(line, sheet.left, bottom + 0.5, text_width, ink=Ink.SOFT)
    if shop:
        bottom = sheet.words(shop, sheet.left, bottom, text_width, ink=Ink.SOFT)
    sheet.set_y(max(bottom, y + 18) + 3)


def _logo(sheet: Sheet, shop: Shop, y: float) -> float:
    """Place the logo top right within 40 by 18 mm; return the width it takes."""
    if shop.logo_png is None:
        return 0.0
    sheet.image(
        BytesIO(shop.logo_png),
        x=sheet.left + sheet.wide - 40,
        y=y,
        w=40,
        h=18,
        keep_aspect_ratio=True,
        alt_text=f"logo of {shop.name or 'the shop'}",
    )
    return 44.0


def _facts(sheet: Sheet, report: Report) -> None:
    y = sheet.get_y()
    sheet.rule(y, Ink.ACCENT, 0.6)
    columns = (
        ("Job", job_facts(report)),
        ("Engine", engine_facts(report.engine)),
        ("Plugs asked for", spec_facts(report.spec)),
    )
    gutter = 6.0
    width = (sheet.wide - 2 * gutter) / 3
    bottoms = [
        _column(sheet, title, facts, sheet.left + k * (width + gutter), y + 2, width)
        for k, (title, facts) in enumerate(columns)
    ]
    sheet.set_y(max(bottoms))
    if report.previous:
        sheet.set_y(sheet.words("Before", sheet.left, sheet.get_y() + 2, 20, bold=True))
        sheet.bullets(report.previous, sheet.left, sheet.wide)


def _column(sheet: Sheet, title: str, facts: tuple[Fact, ...], x: float, y: float, width: float) -> float:
    y = sheet.words(title, x, y, width, size=10, bold=True)
    if not facts:
        return sheet.words("nothing noted", x, y, width, ink=Ink.SOFT)
    for label, value in facts:
        below = sheet.words(label, x, y + 0.6, 21, size=7.5, ink=Ink.SOFT)
        y = max(below, sheet.words(value, x + 22, y, width - 22))
    return y


def _in_short(sheet: Sheet, report: Report) -> None:
    sheet.heading("In short")
    top = sheet.get_y()
    left = sheet.wide * 0.46
    y = top
    for group in verdict_groups(report):
        sheet.mark(sign(group.action), sheet.left, y)
        x = sheet.left + SIGN_MM + 3
        plugs = ("plug " if len(group.places) == 1 else "plugs ") + ", ".join(map(str, group.places))
        below = sheet.words(plugs, x, y - 0.3, left - 13, size=10, bold=True)
        y = max(sheet.words(group.action.words, x, below - 0.4, left - 13), y + SIGN_MM) + 2
    sheet.set_y(top)
    x = sheet.left + left + 4
    width = sheet.wide - left - 4
    first = repair_first(report)
    sheet.set_y(sheet.words("Put right first", x, top, width, size=10, bold=True) + 0.6)
    if first:
        sheet.bullets(first, x, width)
        note = "A new plug in an unrepaired engine only hides the cause."
        sheet.set_y(sheet.words(note, x, sheet.get_y() + 0.5, width, size=8, ink=Ink.SOFT))
    else:
        sheet.set_y(
            sheet.words("Nothing found so far that must be put right first.", x, sheet.get_y(), width)
        )
    sheet.set_y(max(y, sheet.get_y()))


def _at_a_glance(sheet: Sheet, report: Report) -> None:
    many = len(report.plugs) > 4
    chart = gap_chart(gap_points(report.plugs), report.spec, width=sheet.wide if many else 104.0)
    swatches = nose_swatches(report.plugs, across=8 if many else 4)
    need = chart.height + (swatches.height + 10 if many else 10)
    sheet.heading("The set side by side", need=need)
    y = sheet.get_y()
    below = sheet.words("Gap", sheet.left, y, 80, size=10, bold=True) + 1
    sheet.mark(chart, sheet.left, below)
    x, top = (sheet.left, below + chart.height + 3) if many else (sheet.left + sheet.wide - 73, y)
    label = "Nose colour, measured against the grey card (L* 0 black, 100 white)"
    swatch_top = sheet.words(label, x, top, 73, size=8, ink=Ink.SOFT) + 1
    sheet.mark(swatches, x, swatch_top)
    sheet.set_y(max(below + chart.height, swatch_top + swatches.height) + 2)
