"""Views from the end: the shell's circles about the nose."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.view.finder import CENTRE, NOSE, SHELL, PartMap

_NEAR, _EVEN = 0.30, 0.04
"""Seen from the end, the firing end's middle lies within the first of the shell's size from the shell's middle, and shell stands all
round it: the thinnest twelfth has more than the second of the thickest (development renders: all ends, 1 in 20 obliques)."""

_BORE = (0.68, 0.86)
"""The bore's edge stands at this part of the face's outer radius."""

_FACE = 0.885
"""The face's outer edge stands at the thread's root: this part of the crests' radius (ISO 68-1: d3 of M14x1.25 is 0.890 of d)."""

LEAST_STRENGTH = 0.45
"""A weaker circle is no shell's."""

_ANGLES, _RADII = 96, 180


@dataclass(frozen=True, slots=True)
class EndCircle:
    """The shell's outer circle: ``col``, ``row`` of its centre and ``diameter``, pixels; ``strength`` 0..1 of its edge."""

    col: float
    row: float
    diameter: float
    strength: float


def seen_from_end(parts: PartMap) -> bool:
    """Whether the shell stands all round the firing end."""
    tip_rows, tip_cols = np.nonzero(parts.tip)
    rows, cols = np.nonzero(parts.labels == SHELL)
    if tip_rows.size == 0 or rows.size == 0:
        return False
    down, across = rows - tip_rows.mean(), cols - tip_cols.mean()
    if np.hypot(down.mean(), across.mean()) > _NEAR * np.sqrt(rows.size):
        return False
    counts, _ = np.histogram(np.arctan2(down, across), bins=12, range=(-np.pi, np.pi))
    return bool(counts.min() > _EVEN * counts.max())


def find_circle(reduced: NDArray[np.uint8], parts: PartMap) -> EndCircle | None:
    """Find the circle of the thread's crests at the shell's face on ``reduced`` ``(rows, cols, 3)`` uint8.

    Two circles about one centre are looked for, the face's inner and outer edge: edges in all directions at radii of the
    right proportion. The centre is sought about the middle of nose and centre electrode. None where no shell is seen.
    """
    inner = (parts.labels == NOSE) | (parts.labels == CENTRE)
    rows, cols = np.nonzero(inner if inner.sum() > 30 else parts.tip)
    shell = np.nonzero((parts.labels == SHELL) | parts.tip)
    if rows.size == 0 or shell[0].size == 0:
        return None
    scale = 1 / parts.factor
    centre = np.array([(cols.mean() + 0.5) * scale - 0.5, (rows.mean() + 0.5) * scale - 0.5])
    reach = float(np.percentile(np.hypot(shell[1] - cols.mean(), shell[0] - rows.mean()), 90)) * scale
    soft = cv2.GaussianBlur(reduced, (0, 0), max(0.8, 0.006 * reach)).astype(np.float32)
    best: EndCircle | None = None
    for step in (0.08, 0.04, 0.02, 0.01):
        middle = centre if best is None else np.array([best.col, best.row])
        for dx in (-1, 0, 1):
            for dy in (-1, 0, 1):
                at = middle + step * reach * np.array([dx, dy])
                found = _circle_about(soft, at, 1.15 * reach)
                if best is None or found.strength > best.strength:
                    best = found
    return best


def _circle_about(soft: NDArray[np.float32], at: NDArray[np.float64], reach: float) -> EndCircle:
    polar = cv2.warpPolar(
        soft, (_RADII, _ANGLES), (float(at[0]), float(at[1])), reach, cv2.WARP_FILL_OUTLIERS
    )
    change = np.zeros(polar.shape[:2], np.float32)
    change[:, 1:-1] = np.abs(polar[:, 2:] - polar[:, :-2]).sum(axis=2)
    change /= np.maximum(np.percentile(change, 85, axis=1, keepdims=True), 3.0)
    edge = cv2.GaussianBlur(np.clip(change, 0, 1.5).mean(axis=0)[None, :], (0, 0), 1.2)[0]
    edge = edge - cv2.blur(edge[None, :], (31, 1))[0]
    best, answer = -1.0, 0
    for outer in range(int(0.25 * _RADII), _RADII - 4):
        low, high = int(_BORE[0] * outer), int(_BORE[1] * outer)
        score = float(edge[outer] + edge[low : high + 1].max())
        if score > best:
            best, answer = score, outer
    return EndCircle(float(at[0]), float(at[1]), 2 * answer * reach / _RADII / _FACE, best)
