"""What the plug lies on or stands before: bench materials, and the 18 % grey card in every condition it gets into.

Reflectances are linear, Rec. 709 primaries, ``(1024, 1024, 3) float32``. The card's nominal 18 % is the photographic
mid-grey; its dirt, creases and cover are drawn independently of the plug.
"""

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.synthetic.setting import TEXTURE_PX, Sheet

Floats = NDArray[np.float32]
BENCHES = (
    "steel",
    "painted",
    "wood",
    "concrete",
    "rubber",
    "paper",
    "cloth",
    "card stock",
    "stone",
    "plastic",
)
CARD_STATES = ("clean", "dirty", "creased", "none")
GREY = 0.18
WORKSHOP = (
    (0.03, 0.07, 0.22),
    (0.30, 0.03, 0.02),
    (0.04, 0.15, 0.06),
    (0.45, 0.28, 0.03),
    (0.10, 0.14, 0.16),
)
"""Reflectance of workshop blue, red, green, yellow and machine grey (from memory)."""


def cloud(
    rng: np.random.Generator, cells: float, octaves: int = 5, stretch: float = 1.0, fade: float = 0.55
) -> Floats:
    """Return (1024, 1024) fractal noise, mean 0, spread 1; ``cells`` across, ``stretch`` times longer along columns."""
    total = np.zeros((TEXTURE_PX, TEXTURE_PX), np.float32)
    amount = 1.0
    for _ in range(octaves):
        rows = int(np.clip(cells / stretch, 2, TEXTURE_PX))
        cols = int(np.clip(cells, 2, TEXTURE_PX))
        grid = rng.standard_normal((rows, cols)).astype(np.float32)
        total += amount * cv2.resize(grid, (TEXTURE_PX, TEXTURE_PX), interpolation=cv2.INTER_CUBIC)
        amount *= fade
        cells *= 2.1
    total -= total.mean()
    return np.asarray(total / (total.std() + 1e-6), np.float32)


def _scratches(rng: np.random.Generator, count: int, width: int = 1) -> Floats:
    """Return (1024, 1024) 0..1 with that many fine straight or bent lines."""
    canvas = np.zeros((TEXTURE_PX, TEXTURE_PX), np.float32)
    for _ in range(count):
        at = rng.uniform(0, TEXTURE_PX, 2)
        turn = rng.uniform(0, np.pi)
        bend = rng.normal(0, 0.004)
        steps = np.arange(0, rng.uniform(20, 500), 8.0)
        angle = turn + bend * steps
        points = at + np.cumsum(np.stack([np.cos(angle), np.sin(angle)], -1) * 8, 0)
        cv2.polylines(
            canvas,
            [np.round(points * 8).astype(np.int32)],
            isClosed=False,
            color=float(rng.uniform(0.2, 1)),
            thickness=width,
            lineType=cv2.LINE_AA,
            shift=3,
        )
    return canvas


def _stains(rng: np.random.Generator, share: float) -> Floats:
    """Return (1024, 1024) 0..1: soft blotches over about that share of the surface."""
    field = cloud(rng, rng.uniform(2, 9), 7, fade=0.62)
    edge = float(np.quantile(field, 1 - np.clip(share, 0.001, 0.95)))
    depth = np.clip((field - edge) / rng.uniform(0.5, 2.2), 0, 1)
    return np.asarray(depth * np.clip(0.8 + 0.25 * cloud(rng, 60, 4), 0, 1), np.float32)


def bench_picture(rng: np.random.Generator, kind: str) -> tuple[Floats, float, float]:
    """Return reflectance, roughness and metallic of a bench material."""
    hue = rng.uniform(-1, 1, 3) * 0.03
    base = {
        "steel": (0.45, 0.45, 0.46),
        "painted": tuple(np.clip(rng.uniform(0.03, 0.5) * np.exp(rng.normal(0, 0.22, 3)), 0.02, 0.7)),
        "wood": (0.30, 0.18, 0.09),
        "concrete": (0.30, 0.29, 0.27),
        "rubber": (0.03, 0.03, 0.03),
        "paper": (0.70, 0.69, 0.66),
        "cloth": tuple(np.clip(rng.uniform(0.05, 0.5) * np.exp(rng.normal(0, 0.25, 3)), 0.02, 0.75)),
        "card stock": (0.32, 0.22, 0.13),
        "stone": (0.22, 0.21, 0.20),
        "plastic": tuple(np.clip(rng.uniform(0.02, 0.5) * np.exp(rng.normal(0, 0.25, 3)), 0.01, 0.7)),
    }[kind]
    if kind in ("painted", "cloth", "plastic") and rng.random() < 0.3:
        base = WORKSHOP[int(rng.integers(len(WORKSHOP)))]
    base = np.clip(np.array(base) * (1 + hue) * np.exp(rng.normal(0, 0.25)), 0.01, 0.85)
    rough, metal = float(rng.uniform(0.55, 0.95)), 0.0
    shade = 1 + 0.06 * cloud(rng, 6) + 0.05 * cloud(rng, 120, 3)
    if kind == "wood":
        rings = np.sin(14 * cloud(rng, 3, 3, stretch=0.12) + 40 * np.linspace(0, 1, TEXTURE_PX)[None, :])
        shade = shade * (1 + 0.10 * rings + 0.08 * cloud(rng, 200, 2, stretch=0.05))
    elif kind == "steel":
        rough, metal = float(rng.uniform(0.3, 0.55)), 0.9
        shade = shade * (1 + 0.05 * cloud(rng, 600, 2, stretch=float(rng.choice([0.03, 1.0, 30.0]))))
    elif kind in ("concrete", "stone"):
        shade = shade * (1 + 0.12 * cloud(rng, 300, 3) - 0.3 * (cloud(rng, 260, 2) > 2.3))
    elif kind == "cloth":
        phase = np.arange(TEXTURE_PX) * 2 * np.pi / rng.choice([4, 6, 8])
        weave = np.sin(phase)[None, :] * np.sin(phase)[:, None]
        shade = shade * (1 + 0.22 * weave + 0.08 * cloud(rng, 300, 2))
        rough = 0.95
    elif kind in ("plastic", "painted"):
        rough = float(rng.uniform(0.25, 0.6))
    picture = base[None, None, :] * np.clip(shade, 0.15, 2.5)[..., None]
    dirt = _stains(rng, float(rng.beta(1.2, 4)))[..., None] * rng.uniform(0.2, 0.9)
    picture = picture * (1 - dirt) + dirt * np.array([0.05, 0.04, 0.03]) * rng.uniform(0.5, 2)
    marks = _scratches(rng, int(rng.integers(5, 60)))[..., None] * rng.uniform(-0.4, 0.5)
    return np.clip(picture * (1 + marks), 0.004, 0.9).astype(np.float32), rough, metal


def card_picture(rng: np.random.Generator, state: str) -> Floats:
    """Return the reflectance of a grey card: 18 % with paper grain, and what a workshop leaves on it."""
    tint = 1 + rng.normal(0, 0.008, 3)
    shade = 1 + 0.012 * cloud(rng, 350, 2) + 0.006 * cloud(rng, 8)
    picture = GREY * tint[None, None, :] * shade[..., None]
    if state == "dirty":
        soil = _stains(rng, float(rng.uniform(0.05, 0.45)))[..., None] * rng.uniform(0.15, 0.75)
        picture = picture * (1 - soil) + soil * np.array([0.045, 0.036, 0.028])
        wear = _stains(rng, float(rng.uniform(0.0, 0.15)))[..., None] * rng.uniform(0.05, 0.3)
        picture = picture * (1 - wear) + wear * 0.32
        picture *= 1 - 0.5 * _scratches(rng, int(rng.integers(3, 40)))[..., None]
    elif rng.random() < 0.5:
        picture *= 1 - 0.25 * _scratches(rng, int(rng.integers(0, 8)))[..., None]
    return np.clip(picture, 0.01, 0.6).astype(np.float32)


def flat_sheet(
    middle: NDArray[np.float64],
    across: NDArray[np.float64],
    along: NDArray[np.float64],
    half: tuple[float, float],
    repeat_mm: float,
    heights: Floats | None = None,
) -> tuple[Floats, Floats, NDArray[np.int32]]:
    """Return vertices, texture coordinates and faces of a sheet; ``heights`` (n, n) mm lifts it along its normal."""
    n = 2 if heights is None else heights.shape[0]
    u = np.linspace(-1, 1, n)
    x, y = np.meshgrid(u * half[0], u * half[1])
    normal = np.cross(across, along)
    lift = np.zeros((n, n)) if heights is None else heights
    spots = middle + x[..., None] * across + y[..., None] * along + lift[..., None] * normal
    tex = np.stack([x / repeat_mm + 0.5, y / repeat_mm + 0.5], -1)
    i = np.arange(n * n).reshape(n, n)
    a, b, c, d = i[:-1, :-1].ravel(), i[:-1, 1:].ravel(), i[1:, 1:].ravel(), i[1:, :-1].ravel()
    faces = np.concatenate([np.stack([a, b, c], -1), np.stack([a, c, d], -1)])
    return (
        spots.reshape(-1, 3).astype(np.float32),
        tex.reshape(-1, 2).astype(np.float32),
        faces.astype(np.int32),
    )


def crease_heights(rng: np.random.Generator, half: tuple[float, float], points: int = 160) -> Floats:
    """Return (points, points) mm, never above the plane near the middle: one to four folds, and a slight curl."""
    u = np.linspace(-1, 1, points)
    x, y = np.meshgrid(u * half[0], u * half[1])
    curl = rng.normal(0, 1.2, 2) / max(half) ** 2
    height = curl[0] * x**2 + curl[1] * y**2
    for _ in range(int(rng.integers(1, 5))):
        turn = rng.uniform(0, np.pi)
        away = x * np.cos(turn) + y * np.sin(turn) - rng.uniform(-0.6, 0.6) * min(half)
        height += rng.normal(0, 0.05) * np.abs(away) * np.exp(-np.abs(away) / rng.uniform(3, 20))
        height += rng.normal(0, 0.12) * np.exp(-((away / rng.uniform(0.4, 1.5)) ** 2))
    near = np.hypot(x, y) < max(45.0, min(half))
    return np.asarray(height - height[near].max(), np.float32)


def make_bench(
    rng: np.random.Generator,
    kind: str,
    middle: NDArray[np.float64],
    across: NDArray[np.float64],
    along: NDArray[np.float64],
) -> Sheet:
    """Build the bench sheet, 700 mm square."""
    picture, rough, metal = bench_picture(rng, kind)
    v, t, f = flat_sheet(middle, across, along, (350, 350), float(rng.uniform(50, 90)))
    return Sheet(v, t, f, picture, rough, metal)


def make_card(
    rng: np.random.Generator,
    state: str,
    middle: NDArray[np.float64],
    across: NDArray[np.float64],
    along: NDArray[np.float64],
    half: tuple[float, float],
) -> Sheet:
    """Build the grey card in that state."""
    picture = card_picture(rng, state)
    heights = crease_heights(rng, half) if state == "creased" else None
    v, t, f = flat_sheet(middle, across, along, half, 2 * max(half), heights)
    return Sheet(v, t, f, picture, float(rng.uniform(0.75, 1.0)), 0.0, float(rng.uniform(0.0, 0.25)))
