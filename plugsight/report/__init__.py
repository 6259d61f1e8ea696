"""Report room: one ``Report`` in, a PDF, a self-contained HTML page or JSON out."""

from plugsight.report.capture_sheet import capture_sheet
from plugsight.report.pdf_sheet import Paper
from plugsight.report.photo_help import HelpStep, photo_help
from plugsight.report.record import PlugPicture, PlugRow, Report, Shop
from plugsight.report.to_html import to_html
from plugsight.report.to_json import to_json
from plugsight.report.to_pdf import to_pdf

__all__ = [
    "HelpStep",
    "Paper",
    "PlugPicture",
    "PlugRow",
    "Report",
    "Shop",
    "capture_sheet",
    "photo_help",
    "to_html",
    "to_json",
    "to_pdf",
]
