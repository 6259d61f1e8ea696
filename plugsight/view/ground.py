"""Plug apart from what lies behind it, on a reduced picture."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.photo.reduce import fit_to
from plugsight.vocabulary.refusal import NotFound

REDUCED_SIDE = 384
"""Longest side, in pixels, of the picture on which the plug is looked for."""

_QUIET = 9.0
"""A pixel is quiet where its colour gradient is below this many times the picture's own noise. Set on the samples."""


@dataclass(frozen=True, slots=True, eq=False)
class Ground:
    """The reduced picture taken apart.

    ``lab`` ``(rows, cols, 3)`` float32 CIE Lab of the coded picture, ``edges`` ``(rows, cols)`` float32 colour gradient
    in Lab units per pixel. ``factor`` = pixels here per pixel of the picture given.
    """

    lab: NDArray[np.float32]
    edges: NDArray[np.float32]
    factor: float


def separate(pixels: NDArray[np.uint8]) -> Ground:
    """Reduce ``pixels`` ``(rows, cols, 3)`` uint8 sRGB, and find its edges."""
    rows, cols = pixels.shape[:2]
    factor = min(1.0, REDUCED_SIDE / max(rows, cols))
    size = (max(1, round(cols * factor)), max(1, round(rows * factor)))
    small = fit_to(pixels, size).astype(np.float32) / 255
    lab = np.asarray(cv2.cvtColor(small, cv2.COLOR_RGB2Lab), dtype=np.float32)
    edges = colour_gradient(np.asarray(cv2.GaussianBlur(lab, (0, 0), 1.2), dtype=np.float32))
    return Ground(lab, edges, factor)


def standing_out(ground: Ground) -> NDArray[np.bool_] | NotFound:
    """Return what stands out from a quiet background, ``(rows, cols)`` bool, or why nothing does.

    A soft shadow has no edge and stays background. The outline is filled: the hole between strap and nose belongs to it.
    """
    edges = ground.edges
    noise = max(float(np.percentile(edges, 20)), 0.04)
    outside = _outside(edges < _QUIET * noise)
    if outside is None:
        return NotFound(
            "no quiet background around a plug was found",
            "Lay one plug on the grey card, so that the card fills the picture behind the firing end",
        )
    busy = cv2.morphologyEx((~outside).astype(np.uint8), cv2.MORPH_OPEN, np.ones((3, 3), np.uint8))
    closed = cv2.morphologyEx(busy, cv2.MORPH_CLOSE, np.ones((9, 9), np.uint8))
    body = _largest(np.asarray(closed, dtype=np.uint8))
    if body is None:
        return NotFound(
            "nothing stands out from the background",
            "Lay one plug on the grey card and take the photo close by",
        )
    return _flood(edges, body, outside)


def colour_gradient(lab: NDArray[np.float32]) -> NDArray[np.float32]:
    """Root of the summed squared gradients of the three channels, units per pixel; ``(rows, cols)`` float32."""
    total = np.zeros(lab.shape[:2], np.float32)
    for channel in cv2.split(lab):
        dx = cv2.Sobel(channel, cv2.CV_32F, 1, 0, ksize=3, scale=1 / 8)
        dy = cv2.Sobel(channel, cv2.CV_32F, 0, 1, ksize=3, scale=1 / 8)
        total += dx * dx + dy * dy
    root: NDArray[np.float32] = np.sqrt(total)
    return root


def _outside(quiet: NDArray[np.bool_]) -> NDArray[np.bool_] | None:
    """Quiet pixels joined to the picture's frame, or None where they are under a tenth of the picture."""
    solid = cv2.erode(quiet.astype(np.uint8), np.ones((3, 3), np.uint8), borderValue=1)
    _, labels = cv2.connectedComponents(solid, connectivity=4)
    frame = np.concatenate([labels[0], labels[-1], labels[:, 0], labels[:, -1]])
    counts = np.bincount(frame[frame > 0], minlength=labels.max() + 1)
    keep = np.flatnonzero(counts > 0.03 * frame.size)
    outside = np.isin(labels, keep)
    outside = cv2.dilate(outside.astype(np.uint8), np.ones((3, 3), np.uint8)).astype(bool) & quiet
    return outside if outside.mean() > 0.1 else None


def _largest(mask: NDArray[np.uint8]) -> NDArray[np.bool_] | None:
    count, labels, stats, _ = cv2.connectedComponentsWithStats(mask, connectivity=4)
    if count < 2:
        return None
    best = 1 + int(np.argmax(stats[1:, cv2.CC_STAT_AREA]))
    if stats[best, cv2.CC_STAT_AREA] < 0.01 * mask.size:
        return None
    return np.asarray(labels == best)


def _flood(
    edges: NDArray[np.float32], body: NDArray[np.bool_], outside: NDArray[np.bool_]
) -> NDArray[np.bool_]:
    """Watershed on the colour gradient between the background and the middle of the busy body."""
    filled = _fill(body)
    core = cv2.erode(filled.astype(np.uint8), np.ones((7, 7), np.uint8), borderValue=1)
    markers = np.zeros(body.shape, np.int32)
    sure = cv2.erode(outside.astype(np.uint8), np.ones((3, 3), np.uint8), borderValue=1).astype(bool)
    markers[sure] = 1
    markers[core > 0] = 2
    relief = np.clip(edges * 20, 0, 255).astype(np.uint8)
    cv2.watershed(np.ascontiguousarray(np.repeat(relief[..., None], 3, axis=2)), markers)
    plug = markers == 2
    plug |= cv2.dilate(plug.astype(np.uint8), np.ones((3, 3), np.uint8)).astype(bool) & (markers == -1)
    largest = _largest(plug.astype(np.uint8))
    return plug if largest is None else _fill(largest)


def _fill(mask: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Mask with its holes (background not joined to the frame) filled."""
    _, labels = cv2.connectedComponents((~mask).astype(np.uint8), connectivity=4)
    frame = np.concatenate([labels[0], labels[-1], labels[:, 0], labels[:, -1]])
    return ~np.isin(labels, np.unique(frame[frame > 0]))
