"""What else lies about or reaches in: a fingertip, a rag, and any mesh moved to its place on the bench; mm."""

import numpy as np

from plugsight.synthetic.built_plug import PartMesh
from plugsight.synthetic.lathe import Floats, lathe, paint, smooth_noise
from plugsight.synthetic.setting import FOREGROUND, LOOSE


def moved(part: PartMesh, turn: Floats, shift: Floats) -> PartMesh:
    """Return the part turned by a (3, 3) rotation, then shifted by (3,) mm."""
    v = part.vertices.astype(float) @ turn.T + shift
    return PartMesh(
        LOOSE if part.name not in (LOOSE, FOREGROUND) else part.name,
        0,
        v.astype(np.float32),
        part.faces,
        part.colour,
        part.roughness,
        part.metallic,
        part.clearcoat,
        part.specular,
        part.deposit,
        part.damage,
    )


def finger(rng: np.random.Generator) -> PartMesh:
    """A fingertip along z, tip at the origin, nail towards x: skin tones from light to dark, some of them oily."""
    wide = float(rng.uniform(7, 9.5))

    def radius(a: Floats, z: Floats) -> Floats:
        end = np.sqrt(np.clip(1 - np.clip((z + wide) / wide, 0, 1) ** 2, 1e-4, None))
        return wide * end * (1 - 0.12 * np.cos(2 * a)) * (1 + 0.03 * np.cos((z + 20) / 3.5))

    points, faces = lathe(np.linspace(-70, 0, 160), radius, 90)
    tone = np.array([0.50, 0.28, 0.19]) * np.exp(rng.uniform(-1.3, 0.2)) * np.exp(rng.normal(0, 0.06, 3))
    mesh = paint(rng, FOREGROUND, points, faces, (float(tone[0]), float(tone[1]), float(tone[2])), 0.0, 0.5)
    nail = (points[:, 0] > 0.72 * wide) & (points[:, 2] > -1.6 * wide)
    mesh.roughness[nail] = 0.25
    mesh.colour[nail] = np.clip(mesh.colour[nail] * 1.15 + 0.04, 0, 1)
    return mesh


def rag(rng: np.random.Generator, half_mm: float = 45.0) -> PartMesh:
    """A crumpled cloth in the x-y plane, folds along z, middle at the origin."""
    n = 150
    u = np.linspace(-half_mm, half_mm, n)
    x, y = np.meshgrid(u, u)
    flat = np.stack([x.ravel(), y.ravel(), np.zeros(n * n)], -1)
    z = (
        2.0 * smooth_noise(rng, flat, 28, 8)
        + 0.7 * smooth_noise(rng, flat, 11, 12)
        + 0.15 * smooth_noise(rng, flat, 3, 16)
    )
    wobble = 6 * smooth_noise(rng, flat, 35, 6)
    points = np.stack([flat[:, 0] + wobble, flat[:, 1] + wobble[::-1], np.abs(z) + 0.3], -1)
    i = np.arange(n * n).reshape(n, n)
    a, b, c, d = i[:-1, :-1].ravel(), i[:-1, 1:].ravel(), i[1:, 1:].ravel(), i[1:, :-1].ravel()
    faces = np.concatenate([np.stack([a, b, c], -1), np.stack([a, c, d], -1)])
    colour = np.clip(rng.uniform(0.05, 0.55) * np.exp(rng.normal(0, 0.5, 3)), 0.02, 0.8)
    return paint(
        rng, FOREGROUND, points, faces, (float(colour[0]), float(colour[1]), float(colour[2])), 0.0, 0.95
    )
