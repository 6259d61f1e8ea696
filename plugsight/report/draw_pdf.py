"""A drawing as vectors on a PDF page."""

from fpdf import FPDF
from fpdf.enums import RenderStyle

from plugsight.report.drawing import Box, Colour, Disc, Drawing, Label, Line, Path, Shape, moved

FAMILY = "plugsight"
"""Name under which the report's fonts are registered."""


def draw(pdf: FPDF, drawing: Drawing, x: float, y: float) -> None:
    """Draw with the drawing's top left corner at (x, y) mm on the current page."""
    for shape in drawing.shapes:
        _shape(pdf, moved(shape, x, y))


def rgb(colour: Colour) -> tuple[int, int, int]:
    """Return 0..255 sRGB of ``#rrggbb``."""
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


def _style(pdf: FPDF, fill: Colour | None, stroke: Colour | None, width: float) -> RenderStyle | None:
    if fill is not None:
        pdf.set_fill_color(*rgb(fill))
    if stroke is not None:
        pdf.set_draw_color(*rgb(stroke))
        pdf.set_line_width(width)
    if fill is not None and stroke is not None:
        return RenderStyle.DF
    if fill is not None:
        return RenderStyle.F
    return RenderStyle.D if stroke is not None else None


def _shape(pdf: FPDF, shape: Shape) -> None:
    match shape:
        case Line():
            pdf.set_draw_color(*rgb(shape.ink))
            pdf.set_line_width(shape.width)
            pdf.set_dash_pattern(dash=shape.dash, gap=shape.dash)
            pdf.line(shape.x1, shape.y1, shape.x2, shape.y2)
            pdf.set_dash_pattern()
        case Label():
            _label(pdf, shape)
        case Path() | Disc() | Box():
            style = _style(pdf, shape.fill, shape.stroke, shape.width)
            if style is not None:
                _area(pdf, shape, style)


def _area(pdf: FPDF, shape: Path | Disc | Box, style: RenderStyle) -> None:
    match shape:
        case Path() if shape.closed:
            pdf.polygon(shape.points, style=style)
        case Path():
            pdf.polyline(shape.points)
        case Disc():
            pdf.circle(shape.x, shape.y, shape.r, style=style)
        case Box() if shape.radius:
            pdf.rect(
                shape.x, shape.y, shape.w, shape.h, style, round_corners=True, corner_radius=shape.radius
            )
        case Box():
            pdf.rect(shape.x, shape.y, shape.w, shape.h, style)


def _label(pdf: FPDF, shape: Label) -> None:
    pdf.set_font(FAMILY, "B" if shape.bold else "", shape.size)
    pdf.set_text_color(*rgb(shape.ink))
    width = pdf.get_string_width(shape.text)
    left = shape.x - {"start": 0.0, "middle": width / 2, "end": width}[shape.anchor]
    pdf.text(left, shape.y, shape.text)
