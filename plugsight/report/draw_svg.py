"""A drawing as inline SVG: scales with its box, speaks to screen readers, follows light and dark by CSS variables."""

from html import escape

from plugsight.report.drawing import Box, Colour, Disc, Drawing, Ink, Label, Line, Path, Shape

MM_PER_PT = 25.4 / 72


def to_svg(drawing: Drawing, *, extra_class: str = "") -> str:
    """Return an ``<svg>`` element. Inks become ``var(--ps-NAME, #hex)``, so a dark page can set its own."""
    body = "".join(_shape(shape) for shape in drawing.shapes)
    return (
        f'<svg class="ps-drawing {escape(extra_class)}" xmlns="http://www.w3.org/2000/svg" role="img" '
        f'aria-label="{escape(drawing.says)}" viewBox="0 0 {_n(drawing.width)} {_n(drawing.height)}" '
        f'width="{_n(drawing.width)}mm" height="{_n(drawing.height)}mm" '
        f'style="max-width:100%;height:auto">{body}</svg>'
    )


def _n(value: float) -> str:
    return f"{value:.3f}".rstrip("0").rstrip(".")


def _colour(colour: Colour | None) -> str:
    if colour is None:
        return "none"
    if isinstance(colour, Ink):
        return f"var(--ps-{colour.name.lower()}, {colour.value})"
    return escape(colour)


def _paint(fill: Colour | None, stroke: Colour | None, width: float) -> str:
    # style, not attributes: var() works in style only
    line = f";stroke-width:{_n(width)};stroke-linejoin:round" if stroke is not None else ""
    return f'style="fill:{_colour(fill)};stroke:{_colour(stroke)}{line}"'


def _shape(shape: Shape) -> str:
    match shape:
        case Line():
            dash = f";stroke-dasharray:{_n(shape.dash)}" if shape.dash else ""
            return (
                f'<line x1="{_n(shape.x1)}" y1="{_n(shape.y1)}" x2="{_n(shape.x2)}" y2="{_n(shape.y2)}" '
                f'style="stroke:{_colour(shape.ink)};stroke-width:{_n(shape.width)};stroke-linecap:round{dash}"/>'
            )
        case Path():
            points = " ".join(f"{_n(x)},{_n(y)}" for x, y in shape.points)
            name = "polygon" if shape.closed else "polyline"
            return f'<{name} points="{points}" {_paint(shape.fill, shape.stroke, shape.width)}/>'
        case Disc():
            paint = _paint(shape.fill, shape.stroke, shape.width)
            return f'<circle cx="{_n(shape.x)}" cy="{_n(shape.y)}" r="{_n(shape.r)}" {paint}/>'
        case Box():
            paint = _paint(shape.fill, shape.stroke, shape.width)
            return (
                f'<rect x="{_n(shape.x)}" y="{_n(shape.y)}" width="{_n(shape.w)}" height="{_n(shape.h)}" '
                f'rx="{_n(shape.radius)}" {paint}/>'
            )
        case Label():
            weight = 600 if shape.bold else 400
            return (
                f'<text x="{_n(shape.x)}" y="{_n(shape.y)}" text-anchor="{escape(shape.anchor)}" '
                f'font-size="{_n(shape.size * MM_PER_PT)}" font-weight="{weight}" '
                f'style="fill:{_colour(shape.ink)}">{escape(shape.text)}</text>'
            )
