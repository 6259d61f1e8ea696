"""Which part, deposit and damage each pixel shows, by casting rays from the pinhole at the photo's pose."""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from plugsight.synthetic.built_plug import DAMAGE_BY_INDEX, DEPOSITS_BY_INDEX, NO_DEPOSIT, NOSE, PART_NAMES
from plugsight.synthetic.plug_scene import PlugScene
from plugsight.synthetic.setting import BODIES, SLOTS
from plugsight.synthetic.viewpoint import Camera
from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit

BENCH, CARD, NOTHING = len(SLOTS), len(SLOTS) + 1, 255
PER_PIXEL = 2


@dataclass(frozen=True, eq=False)
class PixelTruth:
    """Maps at twice the photo's resolution, ``(2 n, 2 n)`` uint8."""

    slot: NDArray[np.uint8]
    """Index into ``SLOTS``; then bench, card; 255 nothing."""
    part: NDArray[np.uint8]
    """0 background and card, 1 shell, 2 nose, 3 centre electrode, 4 ground electrode, 5 outer insulator."""
    deposit: NDArray[np.uint8]
    """Index into ``DEPOSITS_BY_INDEX``, 255 where no deposit lies."""
    damage: NDArray[np.uint8]
    """1 + index into ``DAMAGE_BY_INDEX``, 0 where sound."""

    @property
    def mask(self) -> NDArray[np.uint8]:
        """Return the part map at the photo's resolution: the commonest of each pixel's four cells."""
        return commonest(self.part)

    @property
    def card(self) -> NDArray[np.bool_]:
        """Return where the whole pixel is grey card, at the photo's resolution."""
        n = self.slot.shape[0] // PER_PIXEL
        cells = (self.slot == CARD).reshape(n, PER_PIXEL, n, PER_PIXEL)
        return np.asarray(cells.all((1, 3)))

    def nose_pixels(self) -> int:
        """Visible nose, in cells of a quarter pixel."""
        return int((self.part == NOSE).sum())

    def deposit_pixels(self) -> dict[Deposit, int]:
        """Cells of visible nose under each deposit that is seen at all."""
        on = self.deposit[(self.part == NOSE) & (self.deposit != NO_DEPOSIT)]
        counts = np.bincount(on, minlength=len(DEPOSITS_BY_INDEX))
        return {
            DEPOSITS_BY_INDEX[i]: int(c) for i, c in enumerate(counts) if c and i < len(DEPOSITS_BY_INDEX)
        }

    def damage_pixels(self) -> dict[Damage, int]:
        """Cells that show each damage, on any part."""
        counts = np.bincount(self.damage[self.damage > 0], minlength=len(DAMAGE_BY_INDEX) + 1)
        return {
            DAMAGE_BY_INDEX[i - 1]: int(c) for i, c in enumerate(counts) if c and i <= len(DAMAGE_BY_INDEX)
        }


def commonest(cells: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Reduce ``(2 n, 2 n)`` labels below 8 to ``(n, n)`` by majority; the lower label wins a draw."""
    n = cells.shape[0] // PER_PIXEL
    blocks = cells.reshape(n, PER_PIXEL, n, PER_PIXEL).transpose(0, 2, 1, 3).reshape(n, n, PER_PIXEL**2)
    found = blocks[..., 0].copy()
    mixed = (blocks != found[..., None]).any(-1)
    votes = np.stack([(blocks[mixed] == k).sum(1) for k in range(8)])
    found[mixed] = votes.argmax(0)
    return found


def cast(scene: PlugScene, camera: Camera) -> PixelTruth:
    """Cast one ray through each quarter pixel and look up what it met."""
    slot, prim = (
        _hits_scalar(scene, camera) if scene.mi.variant().startswith("scalar") else _hits(scene, camera)
    )
    part = np.zeros(slot.shape, np.uint8)
    deposit = np.full(slot.shape, NO_DEPOSIT, np.uint8)
    damage = np.zeros(slot.shape, np.uint8)
    for i, name in enumerate(PART_NAMES):
        at = slot == i
        if not at.any():
            continue
        mesh = scene.slots[name]
        corner = mesh.faces[np.clip(prim[at], 0, len(mesh.faces) - 1), 0]
        part[at] = mesh.label
        deposit[at] = mesh.deposit[corner]
        damage[at] = mesh.damage[corner]
    return PixelTruth(slot, part, deposit, damage)


def _hits(scene: PlugScene, camera: Camera) -> tuple[NDArray[np.uint8], NDArray[np.int64]]:
    import drjit as dr  # noqa: PLC0415 - the render extra may be missing

    mi: Any = scene.mi
    origin, way = camera.rays(PER_PIXEL)
    n = way.shape[0]
    flat = way.reshape(-1, 3).astype(np.float32)
    d = mi.Vector3f(*(mi.Float(np.ascontiguousarray(flat[:, k])) for k in range(3)))
    ray = mi.Ray3f(mi.Point3f(*(dr.opaque(mi.Float, float(c)) for c in origin)), d)
    met = scene.scene.ray_intersect_preliminary(ray, coherent=True)
    valid = np.array(met.is_valid())
    pointer = np.array(dr.reinterpret_array(mi.UInt32, met.shape))
    prim = np.where(valid, np.array(met.prim_index), 0).astype(np.int64)
    shape = np.full(n * n, -1, np.int8)
    for number, mesh in enumerate(scene.meshes.values()):
        mine = int(np.array(dr.reinterpret_array(mi.UInt32, mi.ShapePtr(mesh)))[0])
        shape[valid & (pointer == mine)] = number
    slot, prim = _slots(scene, shape, prim)
    return slot.reshape(n, n), prim.reshape(n, n)


def _slots(
    scene: PlugScene, shape: NDArray[np.int8], prim: NDArray[np.int64]
) -> tuple[NDArray[np.uint8], NDArray[np.int64]]:
    """Turn meshes (their places in ``scene.meshes``, -1 none) and triangle numbers, both (m,), into slots and their triangles."""
    place = {name: number for number, name in enumerate(scene.meshes)}
    slot = np.full(shape.shape, NOTHING, np.uint8)
    slot[shape == place["bench"]] = BENCH
    slot[shape == place["card"]] = CARD
    own = prim.copy()
    for body, names in BODIES.items():
        at = np.nonzero(shape == place[body])[0]
        starts = scene.starts[body]
        which = np.clip(np.searchsorted(starts, prim[at], side="right") - 1, 0, len(names) - 1)
        slot[at] = np.array([SLOTS.index(name) for name in names], np.uint8)[which]
        own[at] = prim[at] - starts[which]
    return slot, own


def _hits_scalar(scene: PlugScene, camera: Camera) -> tuple[NDArray[np.uint8], NDArray[np.int64]]:
    """Plain loop for ``scalar_rgb``: slow (minutes at 768 px), but right."""
    mi: Any = scene.mi
    origin, way = camera.rays(PER_PIXEL)
    n = way.shape[0]
    place = {name: number for number, name in enumerate(scene.meshes)}
    shape = np.full(n * n, -1, np.int8)
    prim = np.zeros(n * n, np.int64)
    start = mi.Point3f(*origin.tolist())
    for cell, d in enumerate(way.reshape(-1, 3)):
        met = scene.scene.ray_intersect_preliminary(mi.Ray3f(start, mi.Vector3f(*d.tolist())))
        if met.is_valid():
            shape[cell] = place[met.shape.id()]
            prim[cell] = met.prim_index
    slot, prim = _slots(scene, shape, prim)
    return slot.reshape(n, n), prim.reshape(n, n)
