"""The two edges that bound the gap, column by column, placed between pixels by the chances of the fine part map."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plugsight.features.edge_place import colour_slope, sharpen
from plugsight.segments.record import Part, TipMap

UPRIGHT_SLOPE = 0.25
"""Growth of the width per row below which the outline counts as upright: a rounded edge is within 1 % of the full width."""
FEWEST_PX = 4
"""A centre electrode narrower than this on the tip crop is not traced."""


@dataclass(frozen=True, slots=True, eq=False)
class Tip:
    """Edges of the gap in pixels of the tip crop (pixel centres at whole numbers).

    ``cols`` are the columns across the centre electrode. Per column: ``face`` is the row of the electrode's upper edge,
    ``under`` the row of the lower edge of the strap above it (NaN where no strap lies above). ``width`` is the electrode's
    width, ``middle`` the column of its axis. ``crossed`` 0..1: share of columns where the strap passes in front of the face, or
    of rows below the face where the strap stands right against the electrode's side, whichever is larger. ``face_blur`` and
    ``under_blur``: pixels over which the chance falls from 0.8 to 0.2 at the edge, median over the middle columns; 1 is sharp.
    """

    cols: NDArray[np.float64]
    face: NDArray[np.float64]
    under: NDArray[np.float64]
    width: float
    middle: float
    crossed: float
    face_blur: float = 1.0
    under_blur: float = 1.0

    @property
    def covered(self) -> float:
        """Share of the electrode's columns that have a strap above."""
        return float(np.mean(np.isfinite(self.under)))


def read_tip(fine: TipMap) -> Tip | None:
    """Trace the edges where the chance of a part passes one half; None where the electrode is too narrow or not there."""
    centre = fine.chances[Part.CENTRE_ELECTRODE]
    strap = fine.chances[Part.GROUND_ELECTRODE]
    solid = centre >= 0.5
    widths = solid.sum(axis=1)
    if widths.max(initial=0) < FEWEST_PX:
        return None
    left, right = _sides(centre, solid, widths)
    cols = np.arange(int(np.ceil(left)), int(np.floor(right)) + 1)
    cols = cols[solid[:, cols].any(axis=0)]
    if cols.size < FEWEST_PX:
        return None
    face = np.array([_first_crossing(centre[:, c]) for c in cols])
    under = np.full(cols.size, np.nan)
    crossed = 0
    for k, col in enumerate(cols):
        rows = np.flatnonzero(strap[:, col] >= 0.5)
        above = rows[rows < face[k] + 1.5]
        crossed += int((rows > face[k] + 3.0).sum() > 3)
        if above.size:
            under[k] = min(_fall(strap[:, col], int(above[-1])), face[k])
    inner = np.abs(cols - (left + right) / 2) <= 0.4 * (right - left)
    face_blur = _blur(centre, cols[inner], face[inner], -1)
    under_blur = _blur(strap, cols[inner], under[inner], 1)
    if fine.crop is not None:
        slope = colour_slope(fine.crop)
        face, under = sharpen(face, cols, slope), sharpen(under, cols, slope)
        under = np.minimum(under, face)  # NaN stays NaN
    hidden = max(crossed / cols.size, _hidden_side(solid, strap >= 0.5, float(np.median(face)), right - left))
    middle = (left + right) / 2
    return Tip(cols.astype(float), face, under, right - left, middle, hidden, face_blur, under_blur)


def _blur(
    chance: NDArray[np.float32], cols: NDArray[np.int_], rows: NDArray[np.float64], outward: int
) -> float:
    """Median number of pixels between 0.8 and 0.2 along the columns, going ``outward`` (-1 up, 1 down) over the edge."""
    widths = []
    for col, row in zip(cols, rows, strict=True):
        if np.isfinite(row):
            start = int(np.clip(np.round(row) - 3 * outward, 0, chance.shape[0] - 1))
            line = chance[start::outward, col][:24]
            widths.append(float(np.sum((line > 0.2) & (line < 0.8))) + 1.0)
    return float(np.median(widths)) if widths else 1.0


def _hidden_side(solid: NDArray[np.bool_], strap: NDArray[np.bool_], face: float, width: float) -> float:
    """Share of rows below the face where a strap adjoins the electrode's side: its leg hides the rest of the electrode."""
    first = max(round(face) + 3, 0)
    rows = [
        r for r in range(first, min(first + max(4, round(0.6 * width)), solid.shape[0])) if solid[r].any()
    ]
    if not rows:
        return 0.0
    sides = []
    for r in rows:
        cols = np.flatnonzero(solid[r])
        before, after = strap[r, max(cols[0] - 4, 0) : cols[0]], strap[r, cols[-1] + 1 : cols[-1] + 5]
        sides.append((before.any(), after.any()))
    return float(np.mean(sides, axis=0).max())


def _sides(
    centre: NDArray[np.float32], solid: NDArray[np.bool_], widths: NDArray[np.int_]
) -> tuple[float, float]:
    """Columns of the electrode's left and right side where its outline first runs upright.

    From the face down the outline widens over the rounded edge, then stays: a cylinder. A fine wire widens again further
    down, on its cone, which is not the electrode's width. A dome that is never upright in sight gives its widest row.
    """
    top = int(np.argmax(widths >= FEWEST_PX))
    rows = np.arange(top, solid.shape[0])
    rows = rows[: int(np.argmax(np.append(widths[rows] < FEWEST_PX, True)))]
    lefts = np.array([_first_crossing(centre[r]) for r in rows])
    rights = np.array([solid.shape[1] - 1 - _first_crossing(centre[r, ::-1]) for r in rows])
    span = rights - lefts
    run = max(3, round(0.12 * float(np.median(span))))
    for k in range(rows.size - 2 * run):
        before, after = np.median(span[k : k + run]), np.median(span[k + run : k + 2 * run])
        if before >= 0.3 * span.max() and after - before < UPRIGHT_SLOPE * run:
            chosen = slice(k, k + 2 * run)
            return float(np.median(lefts[chosen])), float(np.median(rights[chosen]))
    widest = span >= np.percentile(span, 80)
    return float(np.median(lefts[widest])), float(np.median(rights[widest]))


def _first_crossing(line: NDArray[np.float32]) -> float:
    """Place where ``line`` first rises through one half, between the pixels; -0.5 where it starts above."""
    first = int(np.argmax(line >= 0.5))
    if first == 0:
        return -0.5
    low, high = float(line[first - 1]), float(line[first])
    return first - 1 + (0.5 - low) / max(high - low, 1e-6)


def _fall(line: NDArray[np.float32], last: int) -> float:
    """Place below pixel ``last`` (the last one above one half) where ``line`` falls through one half."""
    if last + 1 >= line.size:
        return last + 0.5
    high, low = float(line[last]), float(line[last + 1])
    return last + (high - 0.5) / max(high - low, 1e-6)
