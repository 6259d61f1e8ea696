"""Report room: one ``Report`` in, a PDF, a self-contained HTML page or JSON out."""

from plugsight.report.html import to_html
from plugsight.report.json import to_json
from plugsight.report.pdf import to_pdf
from plugsight.report.record import PlugPicture, PlugRow, Report, Shop

__all__ = ["PlugPicture", "PlugRow", "Report", "Shop", "to_html", "to_json", "to_pdf"]
