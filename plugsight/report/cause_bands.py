"""How strongly a cause stands, as filled blocks: three for most likely, two for possible, one for unlikely."""

from plugsight.causes.record import Band
from plugsight.report.drawing import Box, Drawing, Ink

BLOCKS = {Band.MOST_LIKELY: 3, Band.POSSIBLE: 2, Band.UNLIKELY: 1}


def band_mark(band: Band) -> Drawing:
    """Draw the three blocks of a band, 14 by 4 mm. A rank, not a measured share: no figure stands beside it."""
    shapes = tuple(
        Box(0.2 + 4.7 * k, 0.2, 4.0, 3.4, Ink.ACCENT if k < BLOCKS[band] else Ink.PAPER, Ink.ACCENT, 0.3, 0.5)
        for k in range(3)
    )
    return Drawing(14.0, 4.0, shapes, f"{band}: {BLOCKS[band]} of 3 blocks")
