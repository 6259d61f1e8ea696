"""What stands in front of the lens: parts in slots, bench and card as sheets, light panels, and the room's light."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.synthetic.built_plug import NO_DEPOSIT, PART_NAMES, PartMesh

LOOSE, FOREGROUND = "loose", "foreground"
SLOTS = (*PART_NAMES, LOOSE, FOREGROUND)
BODIES: dict[str, tuple[str, ...]] = {
    "nose": ("nose",),
    "body": tuple(name for name in PART_NAMES if name != "nose"),
    "things": (LOOSE, FOREGROUND),
}
"""Slots joined into each of the three meshes, in order."""
TEXTURE_PX = 1024
ENVIRONMENT_PX = (128, 256)
FAR_MM = 9000.0

Floats = NDArray[np.float32]


@dataclass(frozen=True, eq=False)
class Sheet:
    """Bench or card: a grid of vertices with texture coordinates and a picture of its reflectance."""

    vertices: Floats
    """(n, 3) mm in the plug's coordinates."""
    texcoords: Floats
    """(n, 2); the picture repeats mirrored beyond 0..1."""
    faces: NDArray[np.int32]
    colour: Floats
    """(1024, 1024, 3) linear reflectance."""
    roughness: float
    metallic: float = 0.0
    specular: float = 0.3


@dataclass(frozen=True, eq=False)
class Panel:
    """A square area light: middle, what it faces, half side in mm, radiance (3,)."""

    middle: tuple[float, float, float]
    faces: tuple[float, float, float]
    half_mm: float
    radiance: tuple[float, float, float]


@dataclass(frozen=True, eq=False)
class Setting:
    """Everything a picture shows and what lights it."""

    parts: tuple[PartMesh, ...]
    """Plug parts by slot name, and parts named ``loose`` and ``foreground`` (any number, merged)."""
    bench: Sheet
    card: Sheet | None
    environment: Floats
    """(128, 256, 3) linear radiance, z up the plug's axis before ``turn``."""
    turn: NDArray[np.float64]
    """(3, 3) rotation of the environment into the plug's coordinates."""
    key: Panel
    flash: Panel


def speck(name: str) -> PartMesh:
    """Return the tiny far triangle that fills an unused slot."""
    one = np.zeros(3, np.float32)
    return PartMesh(
        name=name,
        label=0,
        vertices=np.array([[FAR_MM, 0, 0], [FAR_MM, 0.001, 0], [FAR_MM, 0, 0.001]], np.float32),
        faces=np.array([[0, 1, 2]], np.int32),
        colour=np.zeros((3, 3), np.float32),
        roughness=one + 1,
        metallic=one,
        clearcoat=one,
        specular=0.3,
        deposit=np.full(3, NO_DEPOSIT, np.uint8),
        damage=np.zeros(3, np.uint8),
    )


def merged(name: str, parts: list[PartMesh]) -> PartMesh:
    """Join parts into one mesh of that slot; a speck when there are none."""
    if not parts:
        return speck(name)
    starts = np.cumsum([0] + [len(p.vertices) for p in parts[:-1]])
    return PartMesh(
        name=name,
        label=parts[0].label,
        vertices=np.concatenate([p.vertices for p in parts]),
        faces=np.concatenate([p.faces + s for p, s in zip(parts, starts, strict=True)]).astype(np.int32),
        colour=np.concatenate([p.colour for p in parts]),
        roughness=np.concatenate([p.roughness for p in parts]),
        metallic=np.concatenate([p.metallic for p in parts]),
        clearcoat=np.concatenate([p.clearcoat for p in parts]),
        specular=parts[0].specular,
        deposit=np.concatenate([p.deposit for p in parts]),
        damage=np.concatenate([p.damage for p in parts]),
    )


def turned(room: Floats, turn: NDArray[np.float64]) -> Floats:
    """Turn a latitude-longitude picture: Mitsuba's y-up convention, ``turn`` (3, 3) from room to plug coordinates."""
    rows, cols = room.shape[:2]
    theta = (np.arange(rows)[:, None] + 0.5) / rows * np.pi
    phi = (np.arange(cols)[None, :] + 0.5) / cols * 2 * np.pi
    way = (
        np.stack(
            np.broadcast_arrays(np.sin(phi) * np.sin(theta), np.cos(theta), -np.cos(phi) * np.sin(theta)), -1
        )
        @ turn
    )
    col = (np.arctan2(way[..., 0], -way[..., 2]) / (2 * np.pi) % 1.0) * cols - 0.5
    row = np.arccos(np.clip(way[..., 1], -1, 1)) / np.pi * rows - 0.5
    wide = np.concatenate([room[:, -1:], room, room[:, :1]], 1)
    return np.asarray(
        cv2.remap(
            wide, (col + 1).astype(np.float32), np.clip(row, 0, rows - 1).astype(np.float32), cv2.INTER_LINEAR
        ),
        np.float32,
    )
