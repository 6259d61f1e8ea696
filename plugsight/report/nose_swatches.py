"""The nose colours of a set side by side, as measured against the grey card."""

from plugsight.report.drawing import Box, Drawing, Ink, Label, Line, Shape
from plugsight.report.record import PlugRow
from plugsight.report.swatch_colour import hex_of_lab

_STEP, _SIDE = 19.0, 16.0


def nose_swatches(plugs: tuple[PlugRow, ...], *, across: int = 4) -> Drawing:
    """Draw one swatch per plug, ``across`` in a row, each with its lightness L* in figures."""
    shapes: list[Shape] = []
    said = []
    for k, row in enumerate(plugs):
        x, y = (k % across) * _STEP, (k // across) * 27.0
        lab = next((p.nose_lab for p in row.pictures if p.nose_lab is not None), None)
        shapes.append(Label(x + _SIDE / 2, y + 3.4, str(row.place), 9, Ink.TEXT, "middle", bold=True))
        if lab is None:
            shapes += [
                Box(x, y + 5, _SIDE, 14, stroke=Ink.HAIR, width=0.3),
                Line(x, y + 19, x + _SIDE, y + 5, Ink.HAIR, 0.3),
                Label(x + _SIDE / 2, y + 23, "not seen", 7.5, Ink.SOFT, "middle"),
            ]
            said.append(f"plug {row.place} not measured")
        else:
            shapes += [
                Box(x, y + 5, _SIDE, 14, fill=hex_of_lab(lab), stroke=Ink.SOFT, width=0.2),
                Label(x + _SIDE / 2, y + 23, f"L* {lab[0]:.0f}", 7.5, Ink.SOFT, "middle"),
            ]
            said.append(f"plug {row.place} L* {lab[0]:.0f}")
    rows = -(-len(plugs) // across)
    words = "Nose colours. " + "; ".join(said) + "."
    return Drawing(min(len(plugs), across) * _STEP - (_STEP - _SIDE), rows * 27.0 - 2, tuple(shapes), words)
