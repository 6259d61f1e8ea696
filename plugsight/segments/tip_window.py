"""The window round the gap that the fine network looks at."""

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.photo.tone import encode
from plugsight.segments.record import Part
from plugsight.view.record import ViewKind

SIZE = 320
FINER = 3.0
"""Pixels of the tip crop per pixel of the canonical crop: 31 pixels per mm on an M14 plug."""
GAP_DOWN = 0.5
"""Height of the centre electrode's face in the crop, from the top."""
FINER_FACING = 5.0 / 3.0
"""The same in an end view, whose canonical crop is itself finer: again 31 pixels per mm on an M14 plug."""
FEWEST = 6
"""Pixels of centre electrode on the canonical crop from which the window follows it."""
DEFAULT = ((SIZE - 1) / 2, 0.35 * SIZE)
"""Column and row of the canonical crop where the frame's definition puts the gap."""
OUTSIDE = 0.18


def tip_window(
    canonical_labels: NDArray[np.uint8], kind: ViewKind, canonical_to_view: NDArray[np.float64]
) -> NDArray[np.float64]:
    """``(2, 3)`` matrix from tip crop ``(col, row, 1)`` to view ``(col, row)``.

    Side and oblique views: round the centre electrode's top; where none is seen, where the frame's definition puts it. End
    views: round the middle.
    """
    step = 1.0 / FINER
    down = GAP_DOWN
    middle, top = DEFAULT
    if kind is ViewKind.END:
        step, down = 1.0 / FINER_FACING, 0.5
        middle = top = (SIZE - 1) / 2
    else:
        rows, cols = np.nonzero(canonical_labels == Part.CENTRE_ELECTRODE)
        if rows.size >= FEWEST:
            top, middle = float(np.percentile(rows, 2)), float(np.median(cols))
    to_canonical = np.array(
        [
            [step, 0.0, middle - step * (SIZE - 1) / 2],
            [0.0, step, top - step * down * (SIZE - 1)],
            [0.0, 0.0, 1.0],
        ]
    )
    window: NDArray[np.float64] = np.asarray(canonical_to_view, dtype=np.float64)[:2] @ to_canonical
    return window


def tip_crop(pixels: NDArray[np.float32], window: NDArray[np.float64]) -> NDArray[np.uint8]:
    """Cut the window out of linear ``pixels`` ``(rows, cols, 3)``; ``(320, 320, 3)`` uint8 sRGB, grey outside."""
    step = float(np.hypot(window[0, 0], window[1, 0]))
    source, moved = pixels, window
    if step > 1.3:  # average before sampling, or fine texture turns into false edges
        corners = window @ np.array([[0, SIZE, 0, SIZE], [0, 0, SIZE, SIZE], [1, 1, 1, 1]], dtype=float)
        low = np.maximum(np.floor(corners.min(axis=1)).astype(int) - 3, 0)
        high = np.maximum(np.ceil(corners.max(axis=1)).astype(int) + 4, low + 1)
        source = np.ascontiguousarray(pixels[low[1] : high[1], low[0] : high[0]])
        if source.size == 0:
            return encode(np.full((SIZE, SIZE, 3), OUTSIDE, np.float32))
        source = np.asarray(cv2.GaussianBlur(source, (0, 0), 0.35 * step), dtype=np.float32)
        moved = window.copy()
        moved[:, 2] -= low
    picture = cv2.warpAffine(
        source,
        moved,
        (SIZE, SIZE),
        flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP,
        borderMode=cv2.BORDER_CONSTANT,
        borderValue=(OUTSIDE,) * 3,
    )
    return encode(np.asarray(picture, dtype=np.float32))
