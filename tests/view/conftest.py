"""A drawn plug: a ray-marched solid with exact pose, scale and distance, for testing the view room against truth.

It shares nothing with ``plugsight.synthetic`` and looks crude on purpose: only its geometry matters.
"""

from collections.abc import Callable
from dataclasses import dataclass, field

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray


@dataclass(frozen=True)
class Drawn:
    """What to draw. Lengths in mm, angles in degrees; the camera's axis meets the plug's at height ``aim_mm``."""

    side: int = 640
    px_per_mm: float = 24.0
    distance_mm: float = 120.0
    tilt_deg: float = 0.0
    """At ``aim_mm``; positive = the camera sees the end face."""
    roll_deg: float = 0.0
    """Clockwise lean of the plug in the picture."""
    aim_mm: float = -2.0
    shift_px: tuple[float, float] = (0.0, 0.0)
    """Of the plug's axis at ``aim_mm`` off the picture's middle, columns and rows."""
    diameter_mm: float = 14.0
    pitch_mm: float = 1.25
    reach_mm: float = 19.0
    gap_mm: float = 0.9
    azimuth_deg: float = 0.0
    """Of the strap: 0 = to the right in profile, 180 = to the left."""
    light: tuple[float, float, float] = (0.18, 0.18, 0.18)
    """Linear level of the card per channel."""
    gradient: float = 0.0
    """Relative change of the light across the picture."""
    noise: float = 0.004
    blur_px: float = 0.6
    seed: int = 1
    metal: tuple[float, float, float] = (0.32, 0.31, 0.30)
    nose: tuple[float, float, float] = (0.55, 0.50, 0.42)
    card: NDArray[np.float64] | None = field(default=None, compare=False)
    """Linear ``(rows, cols, 3)`` background in place of the even card."""


def _distance(p: NDArray[np.float32], d: Drawn) -> tuple[NDArray[np.float32], NDArray[np.int8]]:
    """Signed distance (a lower bound) from points ``(n, 3)`` to the plug, and which part is nearest."""
    x, y, z = p[:, 0], p[:, 1], p[:, 2]
    r = np.hypot(x, y)
    turn = np.arctan2(y, x)
    root = 0.61 * d.pitch_mm
    phase = (z / d.pitch_mm - turn / (2 * np.pi)) % 1.0
    crest = d.diameter_mm / 2 - root * np.clip(np.abs(2 * phase - 1) * 1.25 - 0.125, 0, 1)
    ring = d.diameter_mm / 2 - root - 0.05
    fade = np.clip((-1.6 - z) / 0.6, 0, 1)
    wall = ring + (crest - ring) * fade
    outer = np.maximum((r - wall) * 0.7, z)
    outer = np.maximum(outer, 0.7 * (r - ring + 0.35 + z))
    shell = np.maximum(np.maximum(outer, -d.reach_mm - z), np.minimum(0.72 * d.diameter_mm / 2 - r, 9.0 + z))
    seat = np.maximum(np.abs(r) - d.diameter_mm * 0.75, np.maximum(z + d.reach_mm, -d.reach_mm - 9 - z))
    shell = np.minimum(shell, seat)
    cone = np.maximum(0.97 * (r - (3.0 - 0.16 * (z - 1.5))), np.maximum(z - 2.2, -9 - z))
    tip = np.maximum(r - 1.25, np.maximum(z - 3.0, -z))
    c, s = np.cos(np.radians(d.azimuth_deg)), np.sin(np.radians(d.azimuth_deg))
    along, across = c * x + s * y, -s * x + c * y
    far = 0.82 * d.diameter_mm / 2
    under = 3.0 + d.gap_mm
    arm = np.maximum.reduce(
        [np.abs(across) - 1.3, np.abs(z - under - 0.65) - 0.65, along - far, -1.3 - along]
    )
    leg = np.maximum.reduce(
        [np.abs(across) - 1.3, np.abs(along - far + 0.65) - 0.65, z - under - 1.3, -0.5 - z]
    )
    strap = np.minimum(arm, leg)
    each = np.stack([shell, cone, tip, strap])
    return each.min(axis=0).astype(np.float32), (1 + each.argmin(axis=0)).astype(np.int8)


def draw(d: Drawn) -> tuple[NDArray[np.uint8], NDArray[np.int8]]:
    """Picture ``(side, side, 3)`` uint8 sRGB and part map ``(side, side)``: 0 card, 1 shell, 2 nose, 3 tip, 4 strap."""
    n = d.side
    focal = d.px_per_mm * d.distance_mm
    col, row = np.meshgrid(np.arange(n) - (n - 1) / 2, np.arange(n) - (n - 1) / 2)
    t = np.radians(d.roll_deg)
    dx, dy = (col - d.shift_px[0]), (row - d.shift_px[1])
    across, down = np.cos(t) * dx + np.sin(t) * dy, -np.sin(t) * dx + np.cos(t) * dy
    a = np.radians(d.tilt_deg)
    forward = np.array([0, np.cos(a), -np.sin(a)])
    right, up = np.array([1.0, 0, 0]), np.array([0, np.sin(a), np.cos(a)])
    origin = np.array([0, 0, d.aim_mm]) - d.distance_mm * forward
    rays = across.reshape(-1, 1) * right - down.reshape(-1, 1) * up + focal * forward
    rays = (rays / np.linalg.norm(rays, axis=1, keepdims=True)).astype(np.float32)
    depth = np.full(n * n, d.distance_mm - 0.8 * d.diameter_mm - 14, np.float32)
    part = np.zeros(n * n, np.int8)
    going = np.arange(n * n)
    for _ in range(90):
        points = origin.astype(np.float32) + depth[going, None] * rays[going]
        away, which = _distance(points, d)
        hit = away < 0.004
        part[going[hit]] = which[hit]
        depth[going] += np.maximum(away * 0.9, 0.002)
        going = going[~hit & (depth[going] < d.distance_mm + 30)]
        if going.size == 0:
            break
    solid = np.flatnonzero(part)
    points = (origin + depth[solid, None] * rays[solid]).astype(np.float32)
    base, _ = _distance(points, d)
    normal = np.stack(
        [_distance(points + np.float32(0.02) * e, d)[0] - base for e in np.eye(3, dtype=np.float32)], axis=1
    )
    normal /= np.maximum(np.linalg.norm(normal, axis=1, keepdims=True), 1e-6)
    lamp = -0.7 * forward + 0.5 * up - 0.4 * right
    lamp /= np.linalg.norm(lamp)
    lit = np.clip(normal @ lamp, 0, 1)
    shine = np.clip(normal @ ((lamp - forward) / np.linalg.norm(lamp - forward)), 0, 1) ** 30
    albedo = np.array([(0, 0, 0), d.metal, d.nose, (0.25, 0.25, 0.25), d.metal])[part[solid]]
    light = np.array(d.light) / 0.18
    scene = np.empty((n * n, 3))
    scene[:] = np.array(d.light) if d.card is None else d.card.reshape(-1, 3)
    scene[solid] = (albedo * (0.25 + 0.9 * lit[:, None]) + 0.5 * shine[:, None]) * light
    picture = scene.reshape(n, n, 3) * (1 + d.gradient * (col / n)[..., None])
    picture = cv2.GaussianBlur(picture, (0, 0), d.blur_px)
    picture += np.random.default_rng(d.seed).normal(0, d.noise, picture.shape)
    coded = np.clip(picture, 0, 1)
    coded = np.where(coded <= 0.0031308, 12.92 * coded, 1.055 * np.maximum(coded, 1e-9) ** (1 / 2.4) - 0.055)
    return np.rint(255 * coded).astype(np.uint8), part.reshape(n, n)


@pytest.fixture(scope="session")
def drawn() -> Callable[..., tuple[NDArray[np.uint8], NDArray[np.int8]]]:
    """Draw a plug with the fields of ``Drawn``; each distinct plug is drawn once a session."""
    kept: dict[str, tuple[NDArray[np.uint8], NDArray[np.int8]]] = {}

    def make(**fields: object) -> tuple[NDArray[np.uint8], NDArray[np.int8]]:
        key = repr(sorted(fields.items(), key=lambda item: item[0]))
        if key not in kept:
            kept[key] = draw(Drawn(**fields))  # type: ignore[arg-type]
        return kept[key]

    return make
