"""What the modeller hands to the renderer: meshes with per-vertex materials, and the truth about them.

Coordinates: mm, z along the plug axis towards the firing end, origin at the centre of the shell face, x = azimuth 0 =
first ground electrode, right-handed. All vertex arrays of a part have the same length.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plugsight.synthetic.design import PlugDesign
from plugsight.synthetic.state import PlugState
from plugsight.synthetic.truth import PlugTruth
from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit

SHELL, NOSE, CENTRE, GROUND, OUTER = 1, 2, 3, 4, 5
"""Mask labels: shell metal from face to hexagon, nose ceramic, centre electrode, ground electrodes, outer insulator."""

DEPOSITS_BY_INDEX: tuple[Deposit, ...] = tuple(Deposit)
DAMAGE_BY_INDEX: tuple[Damage, ...] = tuple(Damage)
NO_DEPOSIT = 255
"""Value of ``PartMesh.deposit`` where the part itself is seen."""

PART_NAMES = (
    "shell",
    "hexagon",
    "gasket",
    "outer_insulator",
    "terminal",
    "nose",
    "centre_electrode",
    "ground_electrode_1",
    "ground_electrode_2",
    "ground_electrode_3",
    "bridge",
)
"""Every name a part can have, in this order; a plug lacks those it does not need."""


@dataclass(frozen=True, eq=False)
class PartMesh:
    """One part: a triangle mesh and what each vertex looks like."""

    name: str
    label: int
    vertices: NDArray[np.float32]
    """(n, 3) mm."""
    faces: NDArray[np.int32]
    """(m, 3), counter-clockwise seen from outside."""
    colour: NDArray[np.float32]
    """(n, 3) linear reflectance 0..1 (Rec. 709 primaries)."""
    roughness: NDArray[np.float32]
    """(n,) 0..1, as the principled material means it."""
    metallic: NDArray[np.float32]
    """(n,) 0..1."""
    clearcoat: NDArray[np.float32]
    """(n,) 0..1: wet or glassy film."""
    specular: float
    """Specular of the principled material, one number per part."""
    deposit: NDArray[np.uint8]
    """(n,) index into ``DEPOSITS_BY_INDEX`` of the top layer, ``NO_DEPOSIT`` where none covers the part."""
    damage: NDArray[np.uint8]
    """(n,) 1 + index into ``DAMAGE_BY_INDEX``, 0 where sound."""


@dataclass(frozen=True, eq=False)
class BuiltPlug:
    """A plug as built: ``parts`` in the order of ``PART_NAMES``."""

    design: PlugDesign
    state: PlugState
    parts: tuple[PartMesh, ...]
    truth: PlugTruth

    def part(self, name: str) -> PartMesh | None:
        """Return the part of that name, or ``None`` where this plug has none."""
        return next((p for p in self.parts if p.name == name), None)
