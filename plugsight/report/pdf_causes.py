"""What the set says: causes with the evidence for and against, checks done and still open."""

from plugsight.causes.record import RankedCause, Why
from plugsight.checks.record import NextCheck
from plugsight.report.cause_bands import band_mark
from plugsight.report.drawing import Ink
from plugsight.report.pdf_sheet import Sheet
from plugsight.report.plug_words import check_done
from plugsight.report.record import Report
from plugsight.report.sources import Sources, sources_of
from plugsight.report.summary import causes_lead, standing_causes

_INDENT = 20.0


def causes(sheet: Sheet, report: Report) -> None:
    """Write causes, checks done and checks open."""
    sheet.heading("What the set points to")
    lead = causes_lead(report)
    sheet.set_y(sheet.words(lead, sheet.left, sheet.get_y(), sheet.wide, ink=Ink.SOFT) + 2)
    sources = sources_of(report)
    for cause in standing_causes(report):
        _cause(sheet, cause, sources)
    if not standing_causes(report):
        sheet.set_y(
            sheet.words("No cause stands out from the rest.", sheet.left, sheet.get_y(), sheet.wide) + 2
        )
    if report.causes.remarks:
        sheet.bullets(report.causes.remarks, sheet.left, sheet.wide, size=8.5)
    _checks(sheet, report)


def _cause(sheet: Sheet, cause: RankedCause, sources: Sources) -> None:
    width = sheet.wide - _INDENT
    lines = [
        ("speaks for", _evidence(cause.speaks_for, sources)),
        ("speaks against", _evidence(cause.speaks_against, sources)),
    ]
    lines = [(label, text) for label, text in lines if text]
    if cause.repair:
        lines.append(("if it is this", cause.repair))
    tall = 6 + sum(sheet.height(text, width - 26) + 0.5 for _, text in lines)
    sheet.keep(tall + 3)
    y = sheet.get_y()
    sheet.mark(band_mark(cause.band), sheet.left, y + 0.5)
    sheet.words(str(cause.band), sheet.left, y + 5, _INDENT, size=7.5, ink=Ink.SOFT)
    y = sheet.words(f"{cause.name} ({cause.site})", sheet.left + _INDENT, y, width, size=10, bold=True) + 0.4
    for label, text in lines:
        sheet.words(label, sheet.left + _INDENT, y + 0.5, 25, size=7.5, ink=Ink.SOFT)
        y = sheet.words(text, sheet.left + _INDENT + 26, y, width - 26) + 0.5
    sheet.set_y(y + 2.5)


def _evidence(whys: tuple[Why, ...], sources: Sources) -> str:
    return "\n".join(f"{why.words} {sources.mark(why.source)}".strip() for why in whys)


def _checks(sheet: Sheet, report: Report) -> None:
    sheet.heading("Checks")
    y = sheet.words("Done", sheet.left, sheet.get_y(), sheet.wide, size=10, bold=True) + 0.5
    sheet.set_y(y)
    done = [check_done(outcome) for outcome in report.checks_done]
    sheet.bullets(done or ("none yet",), sheet.left, sheet.wide)
    sheet.keep(50)
    sheet.set_y(sheet.words("Next", sheet.left, sheet.get_y() + 2, sheet.wide, size=10, bold=True) + 0.5)
    told = tuple(words for words in (report.checks.stop, *report.checks.remarks) if words)
    if told:
        sheet.bullets(told, sheet.left, sheet.wide)
    for number, check in enumerate(report.checks.items[:3], 1):
        _check(sheet, number, check)


def _check(sheet: Sheet, number: int, check: NextCheck) -> None:
    width = sheet.wide - 8
    where = "" if check.cylinder is None else f", cylinder {check.cylinder}"
    about = f"about {check.minutes:.0f} min; {check.tools}; {check.skill}"
    lines = [check.how, *(f"{o.words}: {o.meaning}" for o in check.outcomes), check.why]
    sheet.keep(12 + sum(sheet.height(line, width) for line in lines))
    y = sheet.get_y()
    sheet.words(str(number), sheet.left, y, 6, size=12, bold=True, ink=Ink.ACCENT)
    y = sheet.words(f"{check.name}{where}", sheet.left + 8, y, width, size=10, bold=True)
    y = sheet.words(about, sheet.left + 8, y, width, size=8, ink=Ink.SOFT)
    y = sheet.words(check.how, sheet.left + 8, y, width) + 0.5
    sheet.set_y(y)
    sheet.bullets((f"{o.words}: {o.meaning}" for o in check.outcomes), sheet.left + 8, width)
    sheet.set_y(
        sheet.words(f"Why: {check.why}", sheet.left + 8, sheet.get_y(), width, size=8, ink=Ink.SOFT) + 2
    )
