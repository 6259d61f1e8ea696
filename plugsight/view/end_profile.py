"""How big a shell is in a view from its end: by what stands at which distance from its middle.

Going out from the middle come electrode, nose, dark bore, face, the thread's crests, hexagon and bench. Edges alone mistake the
bore for the face or the hexagon for the thread; the finder's labels and the edges together, against their mean and spread over
rendered plugs (``end_profile.json``, made by ``plugsight.training.end_profile``), tell which ring is which.
"""

import json
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.view.finder import CENTRE, GROUND, NOSE, SHELL, PartMap

FILE = Path(__file__).with_name("end_profile.json")
BINS, RAYS = 96, 96
NEAREST, FARTHEST = 0.25, 1.9
"""The profile reaches from the first to the second of the crests' radius, in equal steps of the logarithm."""
STEP = float(np.log(FARTHEST / NEAREST) / (BINS - 1))
LABELS = (0, SHELL, NOSE, CENTRE, GROUND)
CHANNELS = len(LABELS) + 1
WEIGHTS = np.array((1.0, 1.0, 1.0, 1.0, 1.0, 3.0))
"""Of the labels' shares and the edges: of five sets tried, the best on calibration plugs."""
_MOST = 9.0
"""A bin that differs by more than three spreads counts no more than that: a deposit or a shadow is no proof."""


@dataclass(frozen=True, slots=True, eq=False)
class Rings:
    """A picture unrolled about a middle: ``labels`` and ``colours`` ``(rays, radii)`` and ``(rays, radii, 3)``.

    Radius ``k`` is ``NEAREST * smallest * exp(k * STEP)`` pixels.
    """

    labels: NDArray[np.uint8]
    colours: NDArray[np.float32]
    smallest: float


def unroll(
    soft: NDArray[np.float32], parts: PartMap, middle: tuple[float, float], smallest: float, largest: float
) -> Rings:
    """Unroll ``soft`` ``(rows, cols, 3)`` about ``middle`` ``(col, row)`` for crests' radii from ``smallest`` to ``largest``."""
    count = BINS + int(np.ceil(np.log(largest / smallest) / STEP))
    radii = NEAREST * smallest * np.exp(STEP * np.arange(count))
    angles = np.linspace(0.0, 2 * np.pi, RAYS, endpoint=False)[:, None]
    x = (middle[0] + radii[None] * np.cos(angles)).astype(np.float32)
    y = (middle[1] + radii[None] * np.sin(angles)).astype(np.float32)
    colours = cv2.remap(soft, x, y, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    scale = np.float32(parts.factor)
    small_x, small_y = (x + 0.5) * scale - 0.5, (y + 0.5) * scale - 0.5
    labels = cv2.remap(
        parts.labels, small_x, small_y, cv2.INTER_NEAREST, borderMode=cv2.BORDER_CONSTANT, borderValue=(255,)
    )
    return Rings(np.asarray(labels, np.uint8), np.asarray(colours, np.float32), smallest)


def profile_at(rings: Rings, first: int) -> NDArray[np.float64]:
    """Profile ``(6, 96)`` for crests of radius ``smallest * exp(first * STEP)``: labels' shares, then edges (mean 0, spread 1)."""
    window = slice(first, first + BINS)
    shares = [(rings.labels[:, window] == label).mean(axis=0) for label in LABELS]
    part = rings.colours[:, window]
    change = np.zeros(part.shape[:2])
    change[:, 1:-1] = np.abs(part[:, 2:] - part[:, :-2]).sum(axis=2)
    change /= np.maximum(np.percentile(change, 85, axis=1, keepdims=True), 3.0)
    edge = np.clip(change, 0.0, 1.5).mean(axis=0)
    return np.vstack([*shares, (edge - edge.mean()) / (edge.std() + 1e-6)])


def best_radius(rings: Rings) -> float:
    """Radius of the crests in pixels whose profile suits best, between steps by a parabola."""
    mean, spread = _usual()
    misfit = np.array(
        [
            WEIGHTS @ np.clip(((profile_at(rings, k) - mean) / spread) ** 2, 0.0, _MOST).sum(axis=1)
            for k in range(rings.labels.shape[1] - BINS + 1)
        ]
    )
    best = int(np.argmin(misfit))
    place = float(best)
    if 0 < best < misfit.size - 1:
        before, here, after = misfit[best - 1 : best + 2]
        bend = before - 2 * here + after
        place += 0.5 * (before - after) / bend if bend > 0 else 0.0
    return float(rings.smallest * np.exp(STEP * place))


@lru_cache(maxsize=1)
def _usual() -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    stored = json.loads(FILE.read_text(encoding="utf-8"))
    return np.array(stored["mean"]), np.array(stored["spread"])
