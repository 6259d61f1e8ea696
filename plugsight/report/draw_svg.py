"""A drawing as SVG: scales with its box, speaks to screen readers; its inks follow CSS variables or a table."""

from collections.abc import Mapping
from html import escape

from plugsight.report.drawing import Box, Colour, Disc, Drawing, Ink, Label, Line, Path, Shape

MM_PER_PT = 25.4 / 72
FAMILY = "'Source Sans 3','Source Sans Pro','Segoe UI',Roboto,'Helvetica Neue',Arial,sans-serif"
_BY_VARIABLE = {ink: f"var(--ps-{ink.name.lower()}, {ink.value})" for ink in Ink}


def to_svg(drawing: Drawing, inks: Mapping[Ink, str] | None = None) -> str:
    """Return an ``<svg>`` element.

    ``inks`` gives the colour of each ink; without it an ink becomes ``var(--ps-NAME, #hex)``, for a page that sets its
    own (an SVG shown as a picture of its own sees no variables of the page).
    """
    table = inks or _BY_VARIABLE
    body = "".join(_shape(shape, table) for shape in drawing.shapes)
    return (
        f'<svg class="ps-drawing" xmlns="http://www.w3.org/2000/svg" role="img" '
        f'aria-label="{escape(drawing.says)}" viewBox="0 0 {_n(drawing.width)} {_n(drawing.height)}" '
        f'width="{_n(drawing.width)}mm" height="{_n(drawing.height)}mm" font-family="{FAMILY}" '
        f'style="max-width:100%;height:auto">{body}</svg>'
    )


def _n(value: float) -> str:
    return f"{value:.3f}".rstrip("0").rstrip(".")


def _colour(colour: Colour | None, inks: Mapping[Ink, str]) -> str:
    if colour is None:
        return "none"
    return inks[colour] if isinstance(colour, Ink) else escape(colour)


def _paint(shape: Path | Disc | Box, inks: Mapping[Ink, str]) -> str:
    # style, not attributes: var() works in style only
    line = f";stroke-width:{_n(shape.width)};stroke-linejoin:round" if shape.stroke is not None else ""
    return f'style="fill:{_colour(shape.fill, inks)};stroke:{_colour(shape.stroke, inks)}{line}"'


def _shape(shape: Shape, inks: Mapping[Ink, str]) -> str:
    match shape:
        case Line():
            dash = f";stroke-dasharray:{_n(shape.dash)}" if shape.dash else ""
            return (
                f'<line x1="{_n(shape.x1)}" y1="{_n(shape.y1)}" x2="{_n(shape.x2)}" y2="{_n(shape.y2)}" '
                f'style="stroke:{_colour(shape.ink, inks)};stroke-width:{_n(shape.width)}{dash}"/>'
            )
        case Path():
            points = " ".join(f"{_n(x)},{_n(y)}" for x, y in shape.points)
            name = "polygon" if shape.closed else "polyline"
            return f'<{name} points="{points}" {_paint(shape, inks)}/>'
        case Disc():
            at = f'cx="{_n(shape.x)}" cy="{_n(shape.y)}" r="{_n(shape.r)}"'
            return f"<circle {at} {_paint(shape, inks)}/>"
        case Box():
            at = f'x="{_n(shape.x)}" y="{_n(shape.y)}" width="{_n(shape.w)}" height="{_n(shape.h)}"'
            return f'<rect {at} rx="{_n(shape.radius)}" {_paint(shape, inks)}/>'
        case Label():
            weight = 600 if shape.bold else 400
            return (
                f'<text x="{_n(shape.x)}" y="{_n(shape.y)}" text-anchor="{escape(shape.anchor)}" '
                f'font-size="{_n(shape.size * MM_PER_PT)}" font-weight="{weight}" '
                f'style="fill:{_colour(shape.ink, inks)}">{escape(shape.text)}</text>'
            )
