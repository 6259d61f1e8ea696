"""Things that might pass for a plug in a photo: bolt, heater rod, fitting, drill bit, nozzle and others, to be refused.

Each maker returns heights from the bottom up, the radius over angle and height, and the object's width; axis z, working
end up, mm.
"""
# ruff: noqa: ARG001 - all makers, and all radii, share one signature

from collections.abc import Callable

import numpy as np

from plugsight.synthetic.built_plug import PartMesh
from plugsight.synthetic.lathe import Floats, Radius, lathe, paint
from plugsight.synthetic.setting import LOOSE

NEAR_MISSES = ("bolt", "heater rod", "fitting", "drill bit", "nozzle", "screwdriver", "pin", "nut stack")
METALS = ((0.62, 0.61, 0.58), (0.55, 0.45, 0.28), (0.08, 0.08, 0.085), (0.5, 0.35, 0.25), (0.70, 0.70, 0.71))
Turned = tuple[Floats, Radius, float]


def _heights(*corners: float, fine: float = 0.12) -> Floats:
    """Heights along a profile, with every corner doubled so that steps stay sharp."""
    every = np.arange(min(corners), max(corners), fine)
    edges = np.concatenate([[c - 0.01, c + 0.01] for c in corners])
    return np.unique(np.concatenate([every, edges]))


def _thread(a: Floats, z: Floats, major: float, pitch: float, depth: float) -> Floats:
    phase = np.mod(z / pitch - a / (2 * np.pi), 1.0)
    return np.asarray(major / 2 - depth * np.clip(np.abs(2 * phase - 1) * 1.3 - 0.15, 0, 1))


def _hexagon(a: Floats, across_flats: float) -> Floats:
    return np.asarray(across_flats / 2 / np.cos(np.mod(a, np.pi / 3) - np.pi / 6))


def near_miss(rng: np.random.Generator, kind: str) -> tuple[PartMesh, float, float, float]:
    """Build an object of that kind; also its width, highest and lowest z in mm."""
    d = float(rng.choice([6, 8, 10, 12, 14]))
    pitch = {6: 1.0, 8: 1.25, 10: 1.5, 12: 1.75, 14: 2.0}[int(d)] if rng.random() < 0.6 else 1.25
    tip = float(rng.uniform(0, 8))
    if kind == "fitting":
        return _fitting(rng, d, pitch, tip)
    z, radius, width = _MAKERS[kind](rng, d, pitch, tip)
    points, faces = lathe(z, radius)
    colour = METALS[int(rng.integers(len(METALS)))]
    mesh = paint(rng, LOOSE, points, faces, colour, 0.9, float(rng.uniform(0.2, 0.5)))
    return mesh, float(width), tip if kind != "heater rod" else float(z.max()) - 0.01, float(z[0])


def _bolt(rng: np.random.Generator, d: float, pitch: float, tip: float) -> Turned:
    """A hexagon bolt, its thread up."""
    long = float(rng.uniform(20, 45))
    cut = d * 0.08

    def radius(a: Floats, z: Floats) -> Floats:
        body = np.minimum(_thread(a, z, d, pitch, 0.55 * pitch), d / 2 - np.clip(z - (tip - cut), 0, None))
        return np.where(z < tip - long, _hexagon(a, 1.6 * d), body)

    z = _heights(tip - long - 0.65 * d, tip - long, tip, fine=pitch / 14)
    width = 1.6 * d
    return z, radius, width


def _heater_rod(rng: np.random.Generator, d: float, pitch: float, tip: float) -> Turned:
    """A thread with a long round rod, as diesel engines have."""
    rod, reach = float(rng.uniform(3.5, 5.5)), float(rng.uniform(14, 30))

    def radius(a: Floats, z: Floats) -> Floats:
        end = np.sqrt(np.clip((rod / 2) ** 2 - np.clip(z - (reach - rod / 2), 0, None) ** 2, 1e-4, None))
        body = _thread(a, z, d, 1.25, 0.7)
        return np.where(
            z > 0, end, np.where(z < -18, _hexagon(a, d + 4), np.where(z > -2, d / 2 * 0.9 + z * 0.6, body))
        )

    z = _heights(-28, -18, -2, 0, reach, fine=0.1)
    width = d + 4
    return z, radius, width


def _drill_bit(rng: np.random.Generator, d: float, pitch: float, tip: float) -> Turned:
    """Two helical flutes and a cone."""
    long, lead = float(rng.uniform(30, 50)), d * float(rng.uniform(3, 4.5))

    def radius(a: Floats, z: Floats) -> Floats:
        flute = np.cos(2 * (a - 2 * np.pi * z / lead))
        body = d / 2 * np.where(z > tip - long * 0.7, 1 - 0.45 * np.clip(flute - 0.1, 0, 1), 1.0)
        return np.minimum(body, np.clip(tip - z, 0, None) * 1.6 + 0.02)

    z = _heights(tip - long, tip, fine=0.2)
    width = d
    return z, radius, width


def _nozzle(rng: np.random.Generator, d: float, pitch: float, tip: float) -> Turned:
    """A stepped, grooved body with a slender tip."""
    fine = float(rng.uniform(3, 6))

    def radius(a: Floats, z: Floats) -> Floats:
        stem = np.minimum(fine, np.sqrt(np.clip((tip - z) * 2.2, 0, None)) * 1.6)
        groove = np.where(np.abs(np.mod(z + 40, 9.0) - 4.5) < 0.7, 0.5, 0.0)
        return np.where(z > tip - 9, stem, np.where(z > tip - 20, d * 0.55, d * 0.8) - groove)

    z = _heights(tip - 36, tip - 20, tip - 9, tip, fine=0.12)
    width = 1.6 * d
    return z, radius, width


def _screwdriver(rng: np.random.Generator, d: float, pitch: float, tip: float) -> Turned:
    """A round shaft flattened to a blade."""

    def radius(a: Floats, z: Floats) -> Floats:
        flat = np.clip((tip - z) / 12, 0.08, 1)
        blade = 3.5 / np.maximum(np.abs(np.cos(a)), np.abs(np.sin(a)) / flat)
        return np.minimum(np.where(z > tip - 12, blade, 3.0), 3.6)

    z = _heights(tip - 45, tip - 12, tip, fine=0.25)
    width = 7.0
    return z, radius, width


def _pin(rng: np.random.Generator, d: float, pitch: float, tip: float) -> Turned:
    """A plain pin with a groove."""

    def radius(a: Floats, z: Floats) -> Floats:
        body = d / 2 - np.clip(z - (tip - 1.2), 0, None) * 0.8
        return body - np.where(np.abs(z - (tip - 5)) < 0.8, 0.8, 0)

    z = _heights(tip - 40, tip - 5.8, tip - 4.2, tip, fine=0.2)
    width = d
    return z, radius, width


def _nut_stack(rng: np.random.Generator, d: float, pitch: float, tip: float) -> Turned:
    """Nuts stacked out of line."""

    def radius(a: Floats, z: Floats) -> Floats:
        turn = 0.4 * np.floor((z + 60) / (0.8 * d))
        gap = np.mod(z + 60, 0.8 * d) < 0.3
        return np.where(gap, d * 0.5, np.minimum(_hexagon(a + turn, 1.55 * d), 0.86 * d))

    z = _heights(tip - 3.2 * d, tip, fine=0.1)
    width = 1.6 * d
    return z, radius, width


def _fitting(
    rng: np.random.Generator, d: float, pitch: float, tip: float
) -> tuple[PartMesh, float, float, float]:
    """A hollow threaded pipe fitting."""
    bore = d * float(rng.uniform(0.25, 0.4))

    def radius(a: Floats, z: Floats) -> Floats:
        return np.where(z < -d, _hexagon(a, 1.5 * d), _thread(a, z, d, pitch, 0.55 * pitch))

    z = _heights(-2 * d, -d, tip, fine=pitch / 14)
    points, faces = lathe(z, radius)
    hollow = np.linspace(0, 6, 20)
    inner, more = lathe(
        np.concatenate([tip - hollow[::-1], [tip + 0.01]]), lambda a, _: np.full_like(a, bore)
    )
    ring = np.linalg.norm(points[:, :2], axis=1) < bore
    points[ring & (points[:, 2] > tip - 0.2), 2] = tip - 0.3
    mesh = paint(
        rng,
        LOOSE,
        np.concatenate([points, inner]),
        np.concatenate([faces, more + len(points)]),
        METALS[int(rng.integers(len(METALS)))],
        0.9,
        float(rng.uniform(0.25, 0.5)),
    )
    return mesh, 1.5 * d, tip, -2 * d


_MAKERS: dict[str, Callable[[np.random.Generator, float, float, float], Turned]] = {
    "bolt": _bolt,
    "heater rod": _heater_rod,
    "drill bit": _drill_bit,
    "nozzle": _nozzle,
    "screwdriver": _screwdriver,
    "pin": _pin,
    "nut stack": _nut_stack,
}
