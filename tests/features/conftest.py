"""Drawn tips with closed-form truth: a rounded cylinder under a flat strap, projected in parallel at a tilt."""

import math

import cv2
import numpy as np
import pytest

from plugsight.segments.record import TipMap

PX_PER_MM = 31.0
SIZE = 320
_UP = 8


def _coverage(points_mm: np.ndarray) -> np.ndarray:
    """Share of each pixel inside the convex hull of points (x right, v up, mm from the crop's middle)."""
    px = np.stack([points_mm[:, 0], -points_mm[:, 1]], axis=1) * PX_PER_MM + (SIZE - 1) / 2
    hull = cv2.convexHull((((px + 0.5) * _UP - 0.5) * 16).astype(np.float32)).round().astype(np.int32)
    fine = np.zeros((SIZE * _UP, SIZE * _UP), np.uint8)
    cv2.fillPoly(fine, [hull], 255, shift=4)
    return cv2.resize(fine, (SIZE, SIZE), interpolation=cv2.INTER_AREA).astype(np.float32) / 255


def draw_tip(
    *,
    gap: float = 0.8,
    radius: float = 1.25,
    edge: float = 0.1,
    tilt: float = 0.0,
    depth: float = 2.3,
    strap_from: float = -1.6,
    mirror: bool = False,
) -> TipMap:
    """A tip seen at ``tilt`` degrees (positive: the camera sees the end face); mm; face near the crop's middle."""
    c, s = math.cos(math.radians(tilt)), math.sin(math.radians(tilt))
    round_, up = np.meshgrid(np.linspace(0, 2 * np.pi, 500), np.linspace(0, np.pi / 2, 40))
    out, high = radius - edge + edge * np.cos(up), edge * (np.sin(up) - 1)
    body = [(out * np.cos(round_), out * np.sin(round_), high)]
    ring = np.linspace(0, 2 * np.pi, 500)
    body.append((radius * np.cos(ring), radius * np.sin(ring), np.full_like(ring, -3.0)))
    electrode = np.concatenate(
        [np.stack([x.ravel(), (z * c - y * s).ravel() - 0.3], axis=1) for x, y, z in body]
    )
    corners = [
        (x, z * c - y * s - 0.3)
        for x in (strap_from, 6.0)
        for y in (-depth / 2, depth / 2)
        for z in (gap, gap + 1.3)
    ]
    strap = np.array(corners)
    if mirror:
        electrode, strap = electrode * (-1, 1), strap * (-1, 1)
    front, back = _coverage(strap), _coverage(electrode)
    centre = back * (1 - front)
    nothing = np.zeros_like(front)
    chances = np.stack([1 - front - centre, nothing, nothing, centre, front]).astype(np.float32)
    return TipMap(chances, np.eye(2, 3), 1.0)


@pytest.fixture
def drawn_tip():
    return draw_tip
