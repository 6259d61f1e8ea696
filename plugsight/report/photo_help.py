"""How to photograph a plug, drawn: one picture and one sentence a step."""

from dataclasses import dataclass

from plugsight.report.drawing import Box, Disc, Drawing, Ink, Label, Line, Path, Shape
from plugsight.report.plug_drawing import plug_end_on, plug_side_on

WIDE, TALL = 64.0, 54.0


@dataclass(frozen=True, slots=True)
class HelpStep:
    """A title, a sentence and a drawing, ``WIDE`` by ``TALL`` mm."""

    title: str
    words: str
    drawing: Drawing


def photo_help() -> tuple[HelpStep, ...]:
    """Return the steps in the order they are done."""
    return (
        HelpStep(
            "Grey card behind the plug",
            "Stand the plug in front of an 18 % grey card, both in the same light, with card showing on every side.",
            _card(),
        ),
        HelpStep(
            "Side-on, strap in profile",
            "Camera level with the gap. Turn the plug until the strap stands beside the gap, not in front of it.",
            _profile(),
        ),
        HelpStep(
            "One even light",
            "One broad light from the front and above. No flash, no second lamp of another colour, no sun patch.",
            _light(),
        ),
        HelpStep(
            "Back off and zoom",
            "About 20 to 30 cm away, zoom in 2x or 3x, tap on the nose to focus. The tip fills a third of the picture.",
            _distance(),
        ),
        HelpStep(
            "A second one onto the tip",
            "From the end or half from above, so that the ring of the nose and the electrode tips can be seen.",
            _end(),
        ),
        HelpStep(
            "Before wiping, before cleaning",
            "Photograph at once after removal. A wiped or cleaned plug is no longer evidence of its deposit.",
            _untouched(),
        ),
    )


def _said(step: str, *shapes: Shape) -> Drawing:
    return Drawing(WIDE, TALL, shapes, step)


def _tick(x: float, y: float) -> tuple[Shape, ...]:
    return (
        Disc(x, y, 3.4, Ink.ACCENT),
        Line(x - 1.5, y + 0.1, x - 0.4, y + 1.3, Ink.PAPER, 0.7),
        Line(x - 0.4, y + 1.3, x + 1.7, y - 1.3, Ink.PAPER, 0.7),
    )


def _cross(x: float, y: float) -> tuple[Shape, ...]:
    return (
        Disc(x, y, 3.4, Ink.PAPER, Ink.TEXT, 0.5),
        Line(x - 1.4, y - 1.4, x + 1.4, y + 1.4, Ink.TEXT, 0.7),
        Line(x - 1.4, y + 1.4, x + 1.4, y - 1.4, Ink.TEXT, 0.7),
    )


def _card() -> Drawing:
    return _said(
        "A plug in front of a grey card that shows on every side of it",
        Box(5, 0.5, 54, 53, "#8a8f92", "#1c2328", 0.4),
        *plug_side_on(21, 4),
        Label(7, 51.5, "grey card", 9, "#111518", bold=True),
        *_tick(57, 50),
    )


def _profile() -> Drawing:
    return _said(
        "Right: the strap stands beside the gap. Wrong: the strap stands in front of the gap",
        *plug_side_on(4, 2),
        *plug_side_on(38, 2, strap_in_profile=False),
        Line(7.5, 8.2, 13.5, 8.2, Ink.ACCENT, 0.6),
        Label(0.5, 9.3, "gap", 9, Ink.ACCENT, "start", bold=True),
        *_tick(28, 44),
        *_cross(60, 44),
    )


def _light() -> Drawing:
    rays = tuple(
        Line(14 + 3.5 * k, 15.5 - 1.6 * k, 34 + 3.5 * k, 26 - 1.6 * k, Ink.SOFT, 0.3, 1.0) for k in range(4)
    )
    return _said(
        "One broad lamp, from the front and above",
        Path(((6, 12), (22, 4), (27, 8), (9, 15)), Ink.PAPER, Ink.TEXT, 0.5),
        Label(6, 4, "one lamp", 9, Ink.TEXT),
        *rays,
        *plug_side_on(38, 4),
        *_tick(28, 46),
    )


def _distance() -> Drawing:
    return _said(
        "The phone 20 to 30 centimetres from the plug, level with the gap",
        Box(4, 2, 6, 24, Ink.TEXT, None, 0.3, 1.2),
        Disc(10, 8.7, 1.2, Ink.ACCENT),
        Line(11.5, 8.7, 44, 8.7, Ink.ACCENT, 0.4, 1.4),
        *plug_side_on(40, 2),
        Line(10, 34, 40, 34, Ink.TEXT, 0.35),
        Path(((10, 34), (12, 33), (12, 35)), Ink.TEXT),
        Path(((40, 34), (38, 33), (38, 35)), Ink.TEXT),
        Label(25, 39, "20 to 30 cm", 9, Ink.TEXT, "middle", bold=True),
        Label(4, 46, "zoom 2x or 3x, level", 9, Ink.SOFT),
    )


def _end() -> Drawing:
    return _said(
        "The plug seen from its end: shell, nose ring, centre electrode and strap",
        *plug_end_on(21, 12),
        Label(2, 50, "nose ring", 9, Ink.SOFT),
        Line(11, 47, 27.5, 26, Ink.SOFT, 0.3),
        Label(47, 50, "strap", 9, Ink.SOFT),
        Line(50, 47, 41, 25, Ink.SOFT, 0.3),
    )


def _untouched() -> Drawing:
    return _said(
        "Photograph first; wipe with paper afterwards",
        *plug_side_on(4, 2),
        Label(15, 52.5, "1 photo", 9, Ink.ACCENT, "middle", bold=True),
        Path(((28, 25), (34, 25), (34, 23), (38, 26.5), (34, 30), (34, 28), (28, 28)), Ink.TEXT),
        Path(((44, 14), (60, 18), (56, 40), (40, 36)), Ink.PAPER, Ink.TEXT, 0.4),
        Path(((47, 22), (53, 21), (52, 29), (46, 31)), Ink.SOFT),
        Label(50, 52.5, "2 wipe test", 9, Ink.TEXT, "middle", bold=True),
    )
