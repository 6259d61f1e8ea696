"""The two edges that bound the gap, column by column, from the part map of the full-size view."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plugsight.segments.record import Part


@dataclass(frozen=True, slots=True, eq=False)
class Tip:
    """Edges of the gap in view pixels.

    ``cols`` are the view's columns across the centre electrode. Per column, in rows of the view: ``face`` is the upper edge of the centre electrode, ``under`` the lower edge of the strap above it (NaN where no strap
    lies above). ``width`` is the electrode's width in pixels, ``leg_side`` +1 where the strap's leg stands to the right, -1
    to the left; ``crossed`` the share of columns where the strap passes in front of the face.
    """

    cols: NDArray[np.float64]
    face: NDArray[np.float64]
    under: NDArray[np.float64]
    width: float
    leg_side: int
    crossed: float

    @property
    def covered(self) -> float:
        """Share of the electrode's columns that have a strap above."""
        return float(np.mean(np.isfinite(self.under)))


def read_tip(labels: NDArray[np.uint8]) -> Tip | None:
    """Read the edges off ``labels`` ``(rows, cols)`` of ``Part``; None without centre electrode.

    An edge lies half a pixel beyond the last pixel of the part (pixel centres at whole numbers).
    """
    centre, strap = labels == Part.CENTRE_ELECTRODE, labels == Part.GROUND_ELECTRODE
    widths = centre.sum(axis=1)
    if widths.max(initial=0) < 4:
        return None
    width = float(np.percentile(widths[widths > 0], 80))
    cols = np.flatnonzero(centre.sum(axis=0) >= 2)
    face = np.argmax(centre[:, cols], axis=0).astype(float) - 0.5
    under = np.full(cols.size, np.nan)
    crossed = 0
    for k, col in enumerate(cols):
        rows = np.flatnonzero(strap[:, col])
        if rows.size == 0:
            continue
        above = rows[rows <= face[k] + 1.5]
        crossed += bool((rows > face[k] + 1.5).any())
        if above.size:
            under[k] = above[-1] + 0.5
    reach = np.flatnonzero(strap.any(axis=0))
    middle = float(cols.mean())
    leg_side = 1 if reach.size and reach.max() - middle > middle - reach.min() else -1
    return Tip(cols.astype(float), face, under, width, leg_side, crossed / cols.size)
