"""A sheet to print and photograph plugs on: where the plug stands, where the card stands, a ruler, the plug's place."""

from datetime import UTC, datetime

from plugsight.report.drawing import Box, Disc, Drawing, Ink, Label, Line, Shape
from plugsight.report.pdf_sheet import Paper, Sheet
from plugsight.vocabulary.honesty import RENDERED_ONLY

PRINTED_GREY = (
    "Printed grey is not a reference: ink, paper and printer all tint it. Use a real 18 % grey card on the marked "
    "place. The ruler is right only when printed at 100 %: check it against a steel rule. plugsight takes its scale "
    "from the plug's own thread, not from this ruler."
)
MADE = datetime(2026, 1, 1, tzinfo=UTC)
"""A fixed date: the sheet depends on nothing, so every copy has the same bytes."""


def capture_sheet(*, paper: Paper = Paper.A4, cylinders: int = 8) -> bytes:
    """Return the sheet as a PDF with boxes for ``cylinders`` 1 to 16 plugs."""
    sheet = Sheet(paper, head="plugsight capture sheet", foot=RENDERED_ONLY, invented=False)
    sheet.set_creation_date(MADE)
    sheet.set_title("Capture sheet for photographing spark plugs")
    sheet.add_page()
    wide, y = sheet.wide, sheet.get_y()
    y = sheet.words("Photograph one plug at a time here", sheet.left, y, wide, size=16, bold=True) + 1
    steps = (
        "1  Mark the plug's box.   2  Card upright on its line, plug on its cross, strap in profile.   "
        "3  Camera level with the gap, 20 to 30 cm away, zoom 2x or 3x.   4  Untouched first, wiped later."
    )
    y = sheet.words(steps, sheet.left, y, wide, size=10) + 4
    boxes = _boxes(wide, min(max(cylinders, 1), 16))
    place = _stand(wide, sheet.floor - y - boxes.height - 46)
    sheet.mark(place, sheet.left, y)
    y += place.height + 5
    sheet.mark(boxes, sheet.left, y)
    y += boxes.height + 5
    sheet.mark(_ruler(150), sheet.left, y)
    sheet.words(PRINTED_GREY, sheet.left, y + 14, wide, size=10, bold=True)
    return bytes(sheet.output())


def _stand(wide: float, tall: float) -> Drawing:
    """Place of the card and of the plug, seen from above."""
    middle = wide / 2
    card: tuple[Shape, ...] = (
        Box(middle - 50, 6, 100, 5, None, Ink.TEXT, 0.4),
        Label(middle, 4.4, "grey card stands upright on this line", 9, Ink.SOFT, "middle"),
    )
    plug: tuple[Shape, ...] = (
        Disc(middle, 34, 12, None, Ink.TEXT, 0.4),
        Line(middle - 18, 34, middle + 18, 34, Ink.SOFT, 0.25, 1.2),
        Line(middle, 16, middle, tall - 14, Ink.SOFT, 0.25, 1.2),
        Label(middle + 20, 33, "plug stands here, tip up", 9, Ink.SOFT),
        Label(middle + 20, 37.2, "strap along this line", 9, Ink.SOFT),
    )
    camera: tuple[Shape, ...] = (
        Box(middle - 36, tall - 12, 72, 8, Ink.TINT, Ink.ACCENT, 0.4, 1.5),
        Label(
            middle,
            tall - 6.8,
            "camera this way, level, 20 to 30 cm from the plug",
            9,
            Ink.ACCENT,
            "middle",
            bold=True,
        ),
    )
    frame = Box(0, 0, wide, tall, None, Ink.HAIR, 0.3)
    return Drawing(wide, tall, (frame, *card, *plug, *camera), "Where card, plug and camera stand")


def _boxes(wide: float, cylinders: int) -> Drawing:
    across = min(cylinders, 8)
    side = min(18.0, wide / across - 2)
    rows = -(-cylinders // across)
    shapes: list[Shape] = [Label(0, 3, "Mark the cylinder this plug came from", 9, Ink.SOFT)]
    for k in range(cylinders):
        x, y = (k % across) * (side + 2), 5 + (k // across) * (side + 2)
        shapes.append(Box(x, y, side, side, None, Ink.TEXT, 0.4, 1))
        shapes.append(Label(x + side / 2, y + side / 2 + 2.4, str(k + 1), 18, Ink.SOFT, "middle"))
    return Drawing(wide, 5 + rows * (side + 2), tuple(shapes), f"Boxes for cylinders 1 to {cylinders}")


def _ruler(length: int) -> Drawing:
    shapes: list[Shape] = [Line(0, 0, length, 0, Ink.TEXT, 0.25)]
    for mm in range(length + 1):
        tall = 5.0 if mm % 10 == 0 else 3.5 if mm % 5 == 0 else 2.2
        shapes.append(Line(mm, 0, mm, tall, Ink.TEXT, 0.15))
        if mm % 10 == 0:
            shapes.append(Label(mm, 8.6, str(mm // 10), 8, Ink.TEXT, "middle"))
    shapes.append(Label(length + 4, 4.5, "cm, at 100 %", 8, Ink.SOFT))
    return Drawing(length + 26.0, 10.0, tuple(shapes), f"A ruler of {length} mm")
