"""A sign for every verdict: each has its own outline and mark, so it is told apart without colour."""

import math

from plugsight.report.drawing import Box, Disc, Drawing, Ink, Label, Line, Path, Shape
from plugsight.verdict.record import Action

SIGN_MM = 7.0
"""Width and height of a sign."""


def sign(action: Action) -> Drawing:
    """Return the sign of one action, ``SIGN_MM`` square."""
    return Drawing(SIGN_MM, SIGN_MM, _SIGNS[action], f"Sign: {action.words}")


def _regular(corners: int, radius: float, turn_deg: float = 0.0) -> tuple[tuple[float, float], ...]:
    middle = SIGN_MM / 2
    angles = (math.radians(turn_deg + 360 * k / corners) for k in range(corners))
    return tuple((middle + radius * math.sin(a), middle - radius * math.cos(a)) for a in angles)


def _cross(ink: Ink) -> tuple[Shape, ...]:
    return (Line(2.3, 2.3, 4.7, 4.7, ink, 0.7), Line(2.3, 4.7, 4.7, 2.3, ink, 0.7))


_SIGNS: dict[Action, tuple[Shape, ...]] = {
    Action.STOP: (
        Path(_regular(8, 3.4, 22.5), fill=Ink.TEXT),
        Box(1.6, 2.95, 3.8, 1.1, fill=Ink.PAPER),
    ),
    Action.REPLACE: (Disc(3.5, 3.5, 3.2, fill=Ink.TEXT), *_cross(Ink.PAPER)),
    Action.CAUSE_FIRST: (
        Path(((3.5, 0.4), (6.8, 6.4), (0.2, 6.4)), fill=Ink.PAPER, stroke=Ink.TEXT, width=0.6),
        Line(3.5, 2.5, 3.5, 4.3, Ink.TEXT, 0.7),
        Disc(3.5, 5.4, 0.42, fill=Ink.TEXT),
    ),
    Action.NOT_DECIDED: (
        Path(_regular(4, 3.4), fill=Ink.PAPER, stroke=Ink.SOFT, width=0.5),
        Label(3.5, 4.75, "?", 10, Ink.TEXT, "middle", bold=True),
    ),
    Action.CLEAN: (
        Disc(3.5, 3.5, 3.1, fill=Ink.PAPER, stroke=Ink.ACCENT, width=0.6),
        *(Line(2.0 + k, 4.9, 3.0 + k, 2.1, Ink.ACCENT, 0.5) for k in (0.0, 1.0, 2.0)),
    ),
    Action.REFIT: (
        Disc(3.5, 3.5, 3.2, fill=Ink.ACCENT),
        Line(2.0, 3.6, 3.1, 4.7, Ink.PAPER, 0.7),
        Line(3.1, 4.7, 5.1, 2.3, Ink.PAPER, 0.7),
    ),
    Action.FINDINGS_ONLY: (
        Box(0.5, 0.5, 6.0, 6.0, fill=Ink.PAPER, stroke=Ink.TEXT, width=0.5, radius=0.8),
        *(Line(1.8, y, 5.2, y, Ink.TEXT, 0.5) for y in (2.2, 3.5, 4.8)),
    ),
}
