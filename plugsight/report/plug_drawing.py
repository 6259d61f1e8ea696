"""A made-up spark plug in line, for help pictures and the capture sheet; no make or model."""

from plugsight.report.drawing import Box, Disc, Ink, Line, Path, Shape, moved


def plug_side_on(x: float, y: float, *, strap_in_profile: bool = True) -> tuple[Shape, ...]:
    """Return the firing end of a plug, 22 mm wide and 46 mm tall, tip up, its top left corner at (x, y) mm.

    In profile the strap stands beside the gap; otherwise it faces the camera and hides the gap.
    """
    shapes: list[Shape] = [
        Box(2, 20, 18, 26, Ink.TINT, Ink.TEXT, 0.4),
        *(Line(2, 24 + 2.4 * k, 20, 22.8 + 2.4 * k, Ink.SOFT, 0.3) for k in range(9)),
        Path(((8, 20), (9, 10), (13, 10), (14, 20)), Ink.PAPER, Ink.TEXT, 0.4),
        Box(10, 7.4, 2, 2.6, Ink.SOFT, Ink.TEXT, 0.3),
    ]
    if strap_in_profile:
        outline = ((18, 20), (18, 5.5), (16, 3), (9.2, 3), (9.2, 5), (15.2, 5), (16, 6), (16, 20))
        shapes.append(Path(outline, Ink.HAIR, Ink.TEXT, 0.4))
    else:
        shapes.append(Path(((9.4, 20), (9.4, 3), (12.6, 3), (12.6, 20)), Ink.HAIR, Ink.TEXT, 0.4))
    return tuple(moved(shape, x, y) for shape in shapes)


def plug_end_on(x: float, y: float) -> tuple[Shape, ...]:
    """Return a plug seen from its end, 22 mm across, its top left corner at (x, y) mm."""
    from_above: tuple[Shape, ...] = (
        Disc(11, 11, 10.5, Ink.TINT, Ink.TEXT, 0.4),
        Disc(11, 11, 7.2, Ink.SOFT, Ink.TEXT, 0.4),
        Disc(11, 11, 4.6, Ink.PAPER, Ink.TEXT, 0.4),
        Disc(11, 11, 1.3, Ink.SOFT, Ink.TEXT, 0.4),
        Box(10.4, 9.6, 10.6, 2.8, Ink.HAIR, Ink.TEXT, 0.4, 0.6),
    )
    return tuple(moved(shape, x, y) for shape in from_above)
