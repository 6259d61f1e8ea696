"""The page's own mark for the browser's tab: a gap between two electrodes, drawn, so that nothing is fetched."""

from PIL import Image, ImageDraw

from plugsight.report.drawing import Ink


def icon() -> Image.Image:
    """Return the mark, 64 by 64 pixels."""
    picture = Image.new("RGB", (64, 64), Ink.ACCENT.value)
    pen = ImageDraw.Draw(picture)
    pen.rectangle((24, 38, 40, 64), fill=Ink.PAPER.value)
    pen.rectangle((12, 10, 52, 20), fill=Ink.PAPER.value)
    pen.line((32, 22, 27, 28, 37, 31, 32, 37), fill=Ink.PAPER.value, width=3)
    return picture
