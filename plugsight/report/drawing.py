"""A drawing as plain shapes, so that one chart serves the PDF, the HTML report and the page.

Lengths in mm, origin at the top left, x to the right, y down. Text sizes in points.
"""

from dataclasses import dataclass
from enum import StrEnum


class Ink(StrEnum):
    """The inks of the house: dark text, two greys, paper, and one accent. Values are sRGB hex for light paper."""

    TEXT = "#1c2328"
    SOFT = "#5b666d"
    HAIR = "#c3cacd"
    TINT = "#eaf0f1"
    PAPER = "#ffffff"
    ACCENT = "#0e5a68"


Colour = Ink | str
"""One of the inks, or a hex colour ``#rrggbb`` where a colour itself is the information (swatches)."""


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line; ``dash`` mm of line and of space, 0 for solid."""

    x1: float
    y1: float
    x2: float
    y2: float
    ink: Colour = Ink.TEXT
    width: float = 0.25
    dash: float = 0.0


@dataclass(frozen=True, slots=True)
class Path:
    """Points joined by straight lines; filled, stroked or both."""

    points: tuple[tuple[float, float], ...]
    fill: Colour | None = None
    stroke: Colour | None = None
    width: float = 0.25
    closed: bool = True


@dataclass(frozen=True, slots=True)
class Disc:
    """A circle."""

    x: float
    y: float
    r: float
    fill: Colour | None = None
    stroke: Colour | None = None
    width: float = 0.25


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle from its top left corner; ``radius`` rounds the corners."""

    x: float
    y: float
    w: float
    h: float
    fill: Colour | None = None
    stroke: Colour | None = None
    width: float = 0.25
    radius: float = 0.0


@dataclass(frozen=True, slots=True)
class Label:
    """One line of text; ``y`` is its baseline, ``anchor`` says which end of the text ``x`` is."""

    x: float
    y: float
    text: str
    size: float = 8.0
    ink: Colour = Ink.TEXT
    anchor: str = "start"
    bold: bool = False


Shape = Line | Path | Disc | Box | Label


@dataclass(frozen=True, slots=True)
class Drawing:
    """Shapes on a sheet ``width`` by ``height`` mm; ``says`` is what a person who can't see it is told."""

    width: float
    height: float
    shapes: tuple[Shape, ...]
    says: str


def moved(shape: Shape, dx: float, dy: float) -> Shape:
    """Return the shape shifted by (dx, dy) mm."""
    match shape:
        case Line():
            return Line(
                shape.x1 + dx, shape.y1 + dy, shape.x2 + dx, shape.y2 + dy, shape.ink, shape.width, shape.dash
            )
        case Path():
            points = tuple((x + dx, y + dy) for x, y in shape.points)
            return Path(points, shape.fill, shape.stroke, shape.width, shape.closed)
        case Disc():
            return Disc(shape.x + dx, shape.y + dy, shape.r, shape.fill, shape.stroke, shape.width)
        case Box():
            return Box(
                shape.x + dx,
                shape.y + dy,
                shape.w,
                shape.h,
                shape.fill,
                shape.stroke,
                shape.width,
                shape.radius,
            )
        case Label():
            return Label(
                shape.x + dx, shape.y + dy, shape.text, shape.size, shape.ink, shape.anchor, shape.bold
            )
