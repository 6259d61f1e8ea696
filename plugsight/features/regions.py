"""The regions of a canonical crop that the features are taken from."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.segments.record import Part
from plugsight.view.record import ViewKind

Mask = NDArray[np.bool_]

FEWEST_PIXELS = 40
"""Below this a part counts as not seen: medians of fewer pixels moved by several L* with the outline (development renders)."""
FACE_MM = 1.2
"""Depth of the band below the rim that is called shell face: the plain ring before the thread."""
THREAD_FROM_MM = 2.5
THREAD_TO_MM = 12.0


@dataclass(frozen=True, slots=True, eq=False)
class Regions:
    """Masks ``(rows, cols)`` bool on the crop. Empty where the part is not seen.

    ``rim_row`` is the row where the shell's silhouette begins (NaN in an end view or without a shell).
    """

    kind: ViewKind
    px_per_mm: float
    nose: Mask
    centre: Mask
    strap: Mask
    face: Mask
    thread: Mask
    rim_row: float

    def named(self, part: str) -> Mask:
        """Return the mask of ``nose``, ``centre``, ``strap``, ``face`` or ``thread``."""
        mask: Mask = getattr(self, part)
        return mask


def box_about(mask: Mask, margin: int) -> tuple[slice, slice]:
    """Rows and columns that hold every True of ``mask`` (one at least) and ``margin`` pixels round them."""
    rows, cols = np.flatnonzero(mask.any(axis=1)), np.flatnonzero(mask.any(axis=0))
    return (
        slice(max(0, int(rows[0]) - margin), int(rows[-1]) + margin + 1),
        slice(max(0, int(cols[0]) - margin), int(cols[-1]) + margin + 1),
    )


def canonical_px_per_mm(kind: ViewKind, thread_diameter_mm: float, width: int = 320) -> float:
    """Pixels per mm of a canonical crop: the thread takes 45 % of its width, in an end view 80 %."""
    share = 0.8 if kind is ViewKind.END else 0.45
    return share * width / thread_diameter_mm


def split_regions(labels: NDArray[np.uint8], kind: ViewKind, px_per_mm: float) -> Regions:
    """Split a label map ``(rows, cols)`` of ``Part`` into the regions that features are taken from."""
    shell = labels == Part.SHELL
    nothing = np.zeros_like(shell)
    rows = np.arange(labels.shape[0])[:, None]
    face, thread, rim = nothing, nothing, float("nan")
    if shell.sum() >= FEWEST_PIXELS:
        if kind is ViewKind.END:
            face = _outer_ring(shell)
        else:
            rim = _rim_row(shell)
            face = shell & (rows <= rim + FACE_MM * px_per_mm)
            thread = (
                shell & (rows > rim + THREAD_FROM_MM * px_per_mm) & (rows < rim + THREAD_TO_MM * px_per_mm)
            )
    return Regions(
        kind=kind,
        px_per_mm=px_per_mm,
        nose=_core(labels == Part.NOSE),
        centre=_core(labels == Part.CENTRE_ELECTRODE),
        strap=_core(labels == Part.GROUND_ELECTRODE),
        face=_core(face),
        thread=_core(thread),
        rim_row=rim,
    )


def _core(mask: Mask) -> Mask:
    """Take one pixel off the border, where colours of neighbours mix; thin parts keep their pixels."""
    eroded = cv2.erode(mask.astype(np.uint8), np.ones((3, 3), np.uint8)).astype(bool)
    return eroded if eroded.sum() >= FEWEST_PIXELS else mask


def _rim_row(shell: Mask) -> float:
    """First row where the shell has at least 80 % of its usual width: the rim in the plane of the axis."""
    widths = shell.sum(axis=1)
    usual = np.percentile(widths[widths > 0], 75)
    return float(np.argmax(widths >= 0.8 * usual))


def _outer_ring(shell: Mask) -> Mask:
    """Shell pixels beyond 60 % of its outer radius: what lies further in is the shaded bore."""
    row, col = np.nonzero(shell)
    centre = (row.min() + row.max()) / 2, (col.min() + col.max()) / 2
    radius = np.hypot(
        np.arange(shell.shape[0])[:, None] - centre[0], np.arange(shell.shape[1])[None, :] - centre[1]
    )
    ring: Mask = shell & (radius > 0.6 * radius[shell].max())
    return ring
