"""The part map at full size, from the chances on the small crops."""

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.segments.canonical import clean_labels
from plugsight.segments.record import Part, TipMap
from plugsight.view.record import View

MARGIN = 12
"""Rows and columns at the border of the tip crop that are left to the canonical crop: there the network sees one side only."""


def carry_to_view(
    chances: NDArray[np.float32], small: NDArray[np.uint8], tip: TipMap, view: View
) -> NDArray[np.uint8]:
    """Labels ``(rows, cols)`` uint8 of ``Part`` on the grid of ``view.pixels``.

    ``chances`` ``(5, 320, 320)`` and cleaned labels ``small`` of the canonical crop; the tip map wins where it reaches. Where
    neither reaches, the plug's silhouette counts as shell.
    """
    labels = np.where(view.plug, np.uint8(Part.SHELL), np.uint8(Part.BACKGROUND))
    _paint(labels, _kept(chances, small), np.asarray(view.canonical_to_view, dtype=np.float64)[:2], 0)
    _paint(labels, _kept(tip.chances, clean_labels(tip.chances)), tip.to_view, MARGIN)
    return labels


def _kept(chances: NDArray[np.float32], cleaned: NDArray[np.uint8]) -> NDArray[np.float32]:
    """Chances near the cleaned labels only: those of islands that were dropped must not come back."""
    near = [cv2.dilate((cleaned == p).astype(np.uint8), np.ones((3, 3), np.uint8)) for p in Part]
    return np.asarray(chances * np.stack(near), dtype=np.float32)


def _paint(
    labels: NDArray[np.uint8], chances: NDArray[np.float32], matrix: NDArray[np.float64], margin: int
) -> None:
    """Write the most likely part of every view pixel inside the crop (less ``margin``) into ``labels``."""
    side = chances.shape[1]
    first = matrix @ (margin, margin, 1.0)
    last = matrix @ (side - 1.0 - margin, side - 1.0 - margin, 1.0)
    low = np.maximum(np.ceil(first).astype(int), 0)
    high = np.minimum(np.floor(last).astype(int) + 1, labels.shape[::-1])
    size = high - low
    if (size <= 0).any():
        return
    moved = matrix.copy()
    moved[:, 2] -= low
    best = np.full((size[1], size[0]), -1.0, np.float32)
    found = np.zeros((size[1], size[0]), np.uint8)
    for part in Part:
        plane = cv2.warpAffine(
            np.ascontiguousarray(chances[part]), moved, (int(size[0]), int(size[1])), flags=cv2.INTER_LINEAR
        )
        wins = plane > best
        found[wins] = part
        np.maximum(best, plane, out=best)
    labels[low[1] : high[1], low[0] : high[0]] = found
