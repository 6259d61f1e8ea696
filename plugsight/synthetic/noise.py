"""Tiling noise volumes, looked up in object space: one look-up gives all octaves, no UVs and no seams.

Volumes are made once per process from fixed seeds; a random turn and shift per use keeps look-ups apart.
"""

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import map_coordinates
from scipy.spatial import cKDTree
from scipy.spatial.transform import Rotation

Floats = NDArray[np.float32]
AnyFloats = NDArray[np.floating[Any]]
SIDE = 96


STEPS = (0.4, 0.8, 1.0, 1.25)
"""The roughnesses kept: each volume takes a tenth of a second and 3.5 MB per process."""


@lru_cache(maxsize=len(STEPS))
def fractal_volume(roughness: float) -> Floats:
    """Gaussian field with power falling as frequency to the minus ``2 * (3.0 - roughness)``; mean 0, deviation 1.

    ``roughness`` 0.5 is cloud-like, 1.2 grainy. Shape ``(SIDE, SIDE, SIDE)``, periodic.
    """
    rng = np.random.default_rng(20251)
    white = np.fft.rfftn(rng.standard_normal((SIDE, SIDE, SIDE)))
    whole = np.fft.fftfreq(SIDE) * SIDE
    half = np.fft.rfftfreq(SIDE) * SIDE
    length = np.sqrt(whole[:, None, None] ** 2 + whole[None, :, None] ** 2 + half[None, None, :] ** 2)
    length[0, 0, 0] = 1.0
    shape = np.where(length < 2.0, 0.0, length ** -(3.0 - roughness))
    field = np.fft.irfftn(white * shape, s=(SIDE, SIDE, SIDE), axes=(0, 1, 2))
    return np.asarray(field / field.std(), dtype=np.float32)


@lru_cache(maxsize=1)
def cell_volume() -> tuple[Floats, Floats]:
    """Distance to the nearest of 1,728 random points in units of their mean spacing, and that point's own number 0..1."""
    rng = np.random.default_rng(20252)
    points = rng.random((1728, 3)) * SIDE
    own = rng.random(1728)
    axes = np.arange(SIDE, dtype=np.float64)
    at = np.stack(np.meshgrid(axes, axes, axes, indexing="ij"), axis=-1).reshape(-1, 3)
    distance, nearest = cKDTree(points, boxsize=SIDE).query(at)
    shape = (SIDE, SIDE, SIDE)
    return (
        np.asarray(distance / CELL, dtype=np.float32).reshape(shape),
        np.asarray(own[nearest], dtype=np.float32).reshape(shape),
    )


CELL = SIDE / 12
"""Mean spacing of the cell volume's points, in voxels."""


@dataclass(frozen=True, eq=False)
class Noise:
    """One independent noise space; every call of a method with another ``salt`` is another field."""

    seed: int

    def _at(self, points: Floats, voxels_per_mm: float, salt: int) -> NDArray[np.float64]:
        rng = np.random.default_rng([self.seed, salt])
        turn = Rotation.random(rng=rng).as_matrix() * voxels_per_mm
        turned = np.asarray(points, dtype=np.float64) @ turn.T + rng.random(3) * SIDE
        return np.asarray(turned.T, dtype=np.float64)

    def fractal(self, points: Floats, size_mm: float, salt: int, roughness: float = 0.75) -> Floats:
        """Fractal field at ``(n, 3)`` points; largest features about ``size_mm``; mean 0, deviation 1.

        ``roughness`` is taken to the nearest of ``STEPS``.
        """
        volume = fractal_volume(min(STEPS, key=lambda step: abs(step - roughness)))
        at = self._at(points, SIDE / (4.0 * size_mm), salt)
        return np.asarray(
            map_coordinates(volume, at, order=1, mode="grid-wrap", output=np.float32), dtype=np.float32
        )

    def cells(self, points: Floats, size_mm: float, salt: int) -> tuple[Floats, Floats]:
        """Distance to the cell's middle (in spacings) and the cell's number, for cells about ``size_mm`` apart."""
        at = self._at(points, CELL / size_mm, salt)
        distance, own = cell_volume()
        return (
            np.asarray(map_coordinates(distance, at, order=1, mode="grid-wrap"), dtype=np.float32),
            np.asarray(map_coordinates(own, at, order=0, mode="grid-wrap"), dtype=np.float32),
        )


def smoothstep(low: float, high: float, value: AnyFloats) -> Floats:
    """Cubic step from 0 at ``low`` to 1 at ``high``; a hard step where they coincide."""
    t = np.clip((value - low) / max(high - low, 1e-6), 0.0, 1.0)
    return np.asarray(t * t * (3.0 - 2.0 * t), dtype=np.float32)
