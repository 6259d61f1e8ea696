"""Views from the end: the shell's circles about the nose."""

from dataclasses import dataclass, replace

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.view.end_profile import best_radius, unroll
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

    Its middle is where two circles, the face's inner and outer edge, stand out best; its size is told by what lies at
    which distance from there. None where no shell is seen.
    """
    found = find_middle(reduced, parts)
    if found is None:
        return None
    low, high = search_range(parts)
    rings = unroll(softened(reduced, high), parts, (found.col, found.row), low, high)
    return replace(found, diameter=2 * best_radius(rings))


def search_range(parts: PartMap) -> tuple[float, float]:
    """Least and largest radius of the crests on the reduced picture, from how far the plug reaches."""
    reach = _reach(parts)[1]
    return 0.3 * reach, 1.25 * reach


def softened(reduced: NDArray[np.uint8], size: float) -> NDArray[np.float32]:
    """Smoothed a little, in proportion to the ``size`` of what is looked for, pixels."""
    return np.asarray(cv2.GaussianBlur(reduced, (0, 0), max(0.8, 0.006 * size)), dtype=np.float32)


def _reach(parts: PartMap) -> tuple[NDArray[np.float64], float]:
    """Middle of nose and electrode (col, row) on the reduced picture, and how far the plug reaches from there."""
    inner = (parts.labels == NOSE) | (parts.labels == CENTRE)
    rows, cols = np.nonzero(inner if inner.sum() > 30 else parts.tip)
    shell = np.nonzero((parts.labels == SHELL) | parts.tip)
    if rows.size == 0 or shell[0].size == 0:
        return np.zeros(2), 0.0
    scale = 1 / parts.factor
    middle = np.array([(cols.mean() + 0.5) * scale - 0.5, (rows.mean() + 0.5) * scale - 0.5])
    reach = float(np.percentile(np.hypot(shell[1] - cols.mean(), shell[0] - rows.mean()), 90)) * scale
    return middle, reach


def find_middle(reduced: NDArray[np.uint8], parts: PartMap) -> EndCircle | None:
    """Find the middle: about it, edges in all directions stand at radii of the face's proportion; None without a shell."""
    centre, reach = _reach(parts)
    if reach == 0.0:
        return None
    soft = softened(reduced, reach)
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
