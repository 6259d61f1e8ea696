"""A worn metal or plain part turned on a lathe: mesh and material of everything on the bench that is not a plug."""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from plugsight.synthetic.built_plug import NO_DEPOSIT, PartMesh

Floats = NDArray[np.float64]
Radius = Callable[[Floats, Floats], Floats]


def smooth_noise(rng: np.random.Generator, points: Floats, scale_mm: float, waves: int = 24) -> Floats:
    """Return (n,) noise, spread about 1: a sum of random plane waves."""
    k = rng.normal(0, 2 * np.pi / scale_mm, (waves, 3))
    return np.asarray(np.sqrt(2 / waves) * np.cos(points @ k.T + rng.uniform(0, 2 * np.pi, waves)).sum(1))


def paint(
    rng: np.random.Generator,
    slot: str,
    vertices: Floats,
    faces: NDArray[np.int64],
    colour: tuple[float, float, float],
    metallic: float,
    roughness: float,
) -> PartMesh:
    """Give a mesh a worn, stained material."""
    n = len(vertices)
    stain = np.clip(smooth_noise(rng, vertices, rng.uniform(2, 12)) * 0.6 - rng.uniform(-0.2, 1.0), 0, 1)
    grain = 1 + 0.10 * smooth_noise(rng, vertices, rng.uniform(0.8, 3))
    dirt = np.array([0.05, 0.035, 0.025]) * rng.uniform(0.4, 3)
    reflect = np.array(colour)[None] * grain[:, None] * (1 - stain[:, None]) + dirt * stain[:, None]
    return PartMesh(
        name=slot,
        label=0,
        vertices=vertices.astype(np.float32),
        faces=faces.astype(np.int32),
        colour=np.clip(reflect, 0.01, 0.9).astype(np.float32),
        roughness=np.clip(roughness * grain + 0.4 * stain, 0.1, 1).astype(np.float32),
        metallic=np.clip(metallic * (1 - 0.8 * stain), 0, 1).astype(np.float32),
        clearcoat=np.zeros(n, np.float32),
        specular=0.4,
        deposit=np.full(n, NO_DEPOSIT, np.uint8),
        damage=np.zeros(n, np.uint8),
    )


def lathe(z: Floats, radius: Radius, turns: int = 180) -> tuple[Floats, NDArray[np.int64]]:
    """Turn a radius field over angle and height into a closed mesh, ``z`` from the bottom up."""
    angle = np.linspace(0, 2 * np.pi, turns, endpoint=False)
    a, h = np.meshgrid(angle, z)
    r = np.maximum(radius(a, h), 1e-3)
    r[0] = r[-1] = 1e-3
    points = np.stack([r * np.cos(a), r * np.sin(a), h], -1).reshape(-1, 3)
    i = np.arange(len(z) * turns).reshape(len(z), turns)
    j = np.roll(i, -1, 1)
    p, q, s, t = i[:-1].ravel(), j[:-1].ravel(), j[1:].ravel(), i[1:].ravel()
    return points, np.concatenate([np.stack([p, q, s], -1), np.stack([p, s, t], -1)])
