"""The report on paper."""

from datetime import datetime

from plugsight.report.pdf_causes import causes
from plugsight.report.pdf_close import close
from plugsight.report.pdf_front import front
from plugsight.report.pdf_plugs import plugs
from plugsight.report.pdf_sheet import Paper, Sheet
from plugsight.report.record import Report


def to_pdf(report: Report, *, paper: Paper = Paper.A4) -> bytes:
    """Return the report as a PDF with embedded fonts; the same report gives the same bytes.

    Marks invented data in the head of every page and carries the honest sentence in every foot.
    """
    shop = report.shop.name
    head = f"{shop}: {report.engine.name}" if shop else report.engine.name
    sheet = Sheet(paper, head=head, foot=report.honesty, invented=report.invented)
    # the report's own time, not the clock's: the same report makes the same file
    sheet.set_creation_date(datetime.fromisoformat(report.made))
    sheet.set_title(f"Spark plug report: {report.engine.name}")
    sheet.set_author(report.who)
    sheet.set_creator("plugsight")
    sheet.add_page()
    front(sheet, report)
    sheet.add_page()
    plugs(sheet, report)
    causes(sheet, report)
    close(sheet, report)
    return bytes(sheet.output())
