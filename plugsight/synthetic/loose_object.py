"""Things that are not a plug: near-misses to refuse, bench clutter, a finger, a rag. Axis z, working end up, mm.

Every mesh is named for its slot (``loose`` or ``foreground``) and labelled 0, background.
"""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from plugsight.synthetic.built_plug import NO_DEPOSIT, PartMesh
from plugsight.synthetic.plug_scene import FOREGROUND, LOOSE

Floats = NDArray[np.float64]
Radius = Callable[[Floats, Floats], Floats]
NEAR_MISSES = ("bolt", "heater rod", "fitting", "drill bit", "nozzle", "screwdriver", "pin", "nut stack")
METALS = ((0.62, 0.61, 0.58), (0.55, 0.45, 0.28), (0.08, 0.08, 0.085), (0.5, 0.35, 0.25), (0.70, 0.70, 0.71))


def _smooth_noise(rng: np.random.Generator, points: Floats, scale_mm: float, waves: int = 24) -> Floats:
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
    stain = np.clip(_smooth_noise(rng, vertices, rng.uniform(2, 12)) * 0.6 - rng.uniform(-0.2, 1.0), 0, 1)
    grain = 1 + 0.10 * _smooth_noise(rng, vertices, rng.uniform(0.8, 3))
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


def _heights(*corners: float, fine: float = 0.12) -> Floats:
    """Heights along a profile, with every corner doubled so that steps stay sharp."""
    every = np.arange(min(corners), max(corners), fine)
    edges = np.concatenate([[c - 0.01, c + 0.01] for c in corners])
    return np.unique(np.concatenate([every, edges]))


def _thread(a: Floats, z: Floats, major: float, pitch: float, depth: float) -> Floats:
    phase = np.mod(z / pitch - a / (2 * np.pi), 1.0)
    return major / 2 - depth * np.clip(np.abs(2 * phase - 1) * 1.3 - 0.15, 0, 1)


def _hexagon(a: Floats, across_flats: float) -> Floats:
    return across_flats / 2 / np.cos(np.mod(a, np.pi / 3) - np.pi / 6)


def near_miss(rng: np.random.Generator, kind: str) -> tuple[PartMesh, float, float, float]:
    """Build an object of that kind; also its width, highest and lowest z in mm."""
    d = float(rng.choice([6, 8, 10, 12, 14]))
    pitch = {6: 1.0, 8: 1.25, 10: 1.5, 12: 1.75, 14: 2.0}[int(d)] if rng.random() < 0.6 else 1.25
    tip = float(rng.uniform(0, 8))
    if kind == "bolt":
        long = float(rng.uniform(20, 45))
        cut = d * 0.08

        def radius(a: Floats, z: Floats) -> Floats:
            body = np.minimum(_thread(a, z, d, pitch, 0.55 * pitch), d / 2 - np.clip(z - (tip - cut), 0, None))
            return np.where(z < tip - long, _hexagon(a, 1.6 * d), body)

        z = _heights(tip - long - 0.65 * d, tip - long, tip, fine=pitch / 14)
        width = 1.6 * d
    elif kind == "heater rod":
        rod, reach = float(rng.uniform(3.5, 5.5)), float(rng.uniform(14, 30))

        def radius(a: Floats, z: Floats) -> Floats:
            end = np.sqrt(np.clip((rod / 2) ** 2 - np.clip(z - (reach - rod / 2), 0, None) ** 2, 1e-4, None))
            body = _thread(a, z, d, 1.25, 0.7)
            return np.where(z > 0, end, np.where(z < -18, _hexagon(a, d + 4), np.where(z > -2, d / 2 * 0.9 + z * 0.6, body)))

        z = _heights(-28, -18, -2, 0, reach, fine=0.1)
        tip, width = reach, d + 4
    elif kind == "fitting":
        bore = d * float(rng.uniform(0.25, 0.4))

        def radius(a: Floats, z: Floats) -> Floats:
            outer = np.where(z < -d, _hexagon(a, 1.5 * d), _thread(a, z, d, pitch, 0.55 * pitch))
            return outer

        z = _heights(-2 * d, -d, tip, fine=pitch / 14)
        points, faces = lathe(z, radius)
        hollow = np.linspace(0, 6, 20)
        inner, more = lathe(np.concatenate([tip - hollow[::-1], [tip + 0.01]]), lambda a, z: np.full_like(a, bore))
        ring = np.linalg.norm(points[:, :2], axis=1) < bore
        points[ring & (points[:, 2] > tip - 0.2), 2] = tip - 0.3
        mesh = paint(rng, LOOSE, np.concatenate([points, inner]), np.concatenate([faces, more + len(points)]),
                     METALS[int(rng.integers(len(METALS)))], 0.9, float(rng.uniform(0.25, 0.5)))
        return mesh, 1.5 * d, tip, -2 * d
    elif kind == "drill bit":
        long, lead = float(rng.uniform(30, 50)), d * float(rng.uniform(3, 4.5))

        def radius(a: Floats, z: Floats) -> Floats:
            flute = np.cos(2 * (a - 2 * np.pi * z / lead))
            body = d / 2 * np.where(z > tip - long * 0.7, 1 - 0.45 * np.clip(flute - 0.1, 0, 1), 1.0)
            return np.minimum(body, np.clip(tip - z, 0, None) * 1.6 + 0.02)

        z = _heights(tip - long, tip, fine=0.2)
        width = d
    elif kind == "nozzle":
        fine = float(rng.uniform(3, 6))

        def radius(a: Floats, z: Floats) -> Floats:
            stem = np.minimum(fine, np.sqrt(np.clip((tip - z) * 2.2, 0, None)) * 1.6)
            groove = np.where(np.abs(np.mod(z + 40, 9.0) - 4.5) < 0.7, 0.5, 0.0)
            return np.where(z > tip - 9, stem, np.where(z > tip - 20, d * 0.55, d * 0.8) - groove)

        z = _heights(tip - 36, tip - 20, tip - 9, tip, fine=0.12)
        width = 1.6 * d
    elif kind == "screwdriver":
        def radius(a: Floats, z: Floats) -> Floats:
            flat = np.clip((tip - z) / 12, 0.08, 1)
            blade = 3.5 / np.maximum(np.abs(np.cos(a)), np.abs(np.sin(a)) / flat)
            return np.minimum(np.where(z > tip - 12, blade, 3.0), 3.6)

        z = _heights(tip - 45, tip - 12, tip, fine=0.25)
        width = 7.0
    elif kind == "pin":
        def radius(a: Floats, z: Floats) -> Floats:
            body = d / 2 - np.clip(z - (tip - 1.2), 0, None) * 0.8
            return body - np.where(np.abs(z - (tip - 5)) < 0.8, 0.8, 0)

        z = _heights(tip - 40, tip - 5.8, tip - 4.2, tip, fine=0.2)
        width = d
    else:
        def radius(a: Floats, z: Floats) -> Floats:
            turn = 0.4 * np.floor((z + 60) / (0.8 * d))
            gap = np.mod(z + 60, 0.8 * d) < 0.3
            return np.where(gap, d * 0.5, np.minimum(_hexagon(a + turn, 1.55 * d), 0.86 * d))

        z = _heights(tip - 3.2 * d, tip, fine=0.1)
        width = 1.6 * d
    points, faces = lathe(z, radius)
    colour = METALS[int(rng.integers(len(METALS)))]
    mesh = paint(rng, LOOSE, points, faces, colour, 0.9, float(rng.uniform(0.2, 0.5)))
    return mesh, float(width), tip, float(z[0])


def moved(part: PartMesh, turn: Floats, shift: Floats) -> PartMesh:
    """Return the part turned by a (3, 3) rotation, then shifted by (3,) mm."""
    v = part.vertices.astype(float) @ turn.T + shift
    return PartMesh(LOOSE if part.name not in (LOOSE, FOREGROUND) else part.name, 0, v.astype(np.float32), part.faces,
                    part.colour, part.roughness, part.metallic, part.clearcoat, part.specular, part.deposit, part.damage)


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
    z = 2.0 * _smooth_noise(rng, flat, 28, 8) + 0.7 * _smooth_noise(rng, flat, 11, 12) + 0.15 * _smooth_noise(rng, flat, 3, 16)
    wobble = 6 * _smooth_noise(rng, flat, 35, 6)
    points = np.stack([flat[:, 0] + wobble, flat[:, 1] + wobble[::-1], np.abs(z) + 0.3], -1)
    i = np.arange(n * n).reshape(n, n)
    a, b, c, d = i[:-1, :-1].ravel(), i[:-1, 1:].ravel(), i[1:, 1:].ravel(), i[1:, :-1].ravel()
    faces = np.concatenate([np.stack([a, b, c], -1), np.stack([a, c, d], -1)])
    colour = np.clip(rng.uniform(0.05, 0.55) * np.exp(rng.normal(0, 0.5, 3)), 0.02, 0.8)
    return paint(rng, FOREGROUND, points, faces, (float(colour[0]), float(colour[1]), float(colour[2])), 0.0, 0.95)
