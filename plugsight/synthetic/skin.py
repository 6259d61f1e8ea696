"""A part while it is being dressed: base surface, material per vertex, and height along the base normal."""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from plugsight.synthetic.built_plug import DAMAGE_BY_INDEX, DEPOSITS_BY_INDEX, NO_DEPOSIT, PartMesh
from plugsight.synthetic.grids import Grid
from plugsight.synthetic.noise import AnyFloats, Floats, Noise
from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit

Mask = NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class Film:
    """What a layer looks like at some vertices: colour ``(n, 3)``, the rest ``(n,)``; height in mm, opacity 0..1."""

    colour: AnyFloats
    roughness: AnyFloats
    clearcoat: AnyFloats
    height: AnyFloats
    opacity: AnyFloats


@dataclass(eq=False)
class Skin:
    """Working state of one part; ``points`` stay the bare surface so that layers lie where they were drawn."""

    name: str
    label: int
    grid: Grid
    noise: Noise
    specular: float = 0.5
    points: Floats = field(init=False)
    normals: Floats = field(init=False)
    colour: Floats = field(init=False)
    roughness: Floats = field(init=False)
    metallic: Floats = field(init=False)
    clearcoat: Floats = field(init=False)
    height: Floats = field(init=False)
    deposit: NDArray[np.uint8] = field(init=False)
    damage: NDArray[np.uint8] = field(init=False)

    def __post_init__(self) -> None:
        """Start bare: grey, dull, at the base surface."""
        self.points = self.grid.flat.astype(np.float32)
        self.normals = self.grid.normals().astype(np.float32)
        n = len(self.points)
        self.colour = np.full((n, 3), 0.5, dtype=np.float32)
        self.roughness = np.full(n, 0.5, dtype=np.float32)
        self.metallic = np.zeros(n, dtype=np.float32)
        self.clearcoat = np.zeros(n, dtype=np.float32)
        self.height = np.zeros(n, dtype=np.float32)
        self.deposit = np.full(n, NO_DEPOSIT, dtype=np.uint8)
        self.damage = np.zeros(n, dtype=np.uint8)

    @property
    def radius(self) -> Floats:
        """Distance of each base point from the axis, mm."""
        return np.asarray(np.hypot(self.points[:, 0], self.points[:, 1]), dtype=np.float32)

    @property
    def azimuth(self) -> Floats:
        """Azimuth of each base point, radians."""
        return np.asarray(np.arctan2(self.points[:, 1], self.points[:, 0]), dtype=np.float32)

    def tint(
        self,
        mask: AnyFloats,
        colour: tuple[float, float, float] | AnyFloats,
        roughness: float | AnyFloats | None = None,
        metallic: float | None = None,
        clearcoat: float | None = None,
    ) -> None:
        """Blend materials in by ``mask`` 0..1."""
        m = mask.astype(np.float32)
        self.colour += m[:, None] * (np.asarray(colour, dtype=np.float32) - self.colour)
        for target, value in (
            (self.roughness, roughness),
            (self.metallic, metallic),
            (self.clearcoat, clearcoat),
        ):
            if value is not None:
                target[:] += m * (np.asarray(value, dtype=np.float32) - target)

    def lay(self, where: Mask, mask: Floats, film: Film, deposit: Deposit) -> None:
        """Lay a film over the vertices ``where``; ``mask`` and ``film`` are for those only."""
        a = (mask * film.opacity).astype(np.float32)
        self.colour[where] += a[:, None] * (film.colour - self.colour[where])
        self.roughness[where] += a * (film.roughness - self.roughness[where])
        self.metallic[where] *= 1 - a
        self.clearcoat[where] += a * (film.clearcoat - self.clearcoat[where])
        self.height[where] += mask * film.height
        top = np.flatnonzero(where)[mask > 0.5]
        self.deposit[top] = DEPOSITS_BY_INDEX.index(deposit)

    def mark(self, where: Mask, damage: Damage) -> None:
        """Note damage at vertices."""
        self.damage[where] = 1 + DAMAGE_BY_INDEX.index(damage)

    def mesh(self) -> PartMesh:
        """Return the part with its heights applied along the base normals."""
        return PartMesh(
            name=self.name,
            label=self.label,
            vertices=np.asarray(self.points + self.normals * self.height[:, None], dtype=np.float32),
            faces=self.grid.faces(),
            colour=np.clip(self.colour, 0.002, 0.95).astype(np.float32),
            roughness=np.clip(self.roughness, 0.04, 1.0).astype(np.float32),
            metallic=np.clip(self.metallic, 0.0, 1.0).astype(np.float32),
            clearcoat=np.clip(self.clearcoat, 0.0, 1.0).astype(np.float32),
            specular=self.specular,
            deposit=self.deposit,
            damage=self.damage,
        )
