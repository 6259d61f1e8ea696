"""One Mitsuba scene whose structure never changes: every picture only updates its parameters, so kernels compile once.

Slots: one for each name in ``PART_NAMES``, one for loose objects, one for what stands in the foreground. Slots are
joined into three meshes, nose, other parts, other things: Dr.Jit's tracing time grows steeply with the number of materials
(40 s a picture with one material a slot, seen on 2 CPU cores). Bench and card are textured sheets; a key light and a
flash are area lights; an environment map does the rest.
"""

from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.synthetic.built_plug import NO_DEPOSIT, PART_NAMES, PartMesh
from plugsight.synthetic.phone_lens import PLUGIN, register
from plugsight.synthetic.viewpoint import Camera

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
_FAR = 9000.0

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
        vertices=np.array([[_FAR, 0, 0], [_FAR, 0.001, 0], [_FAR, 0, 0.001]], np.float32),
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
    way = np.stack(
        np.broadcast_arrays(np.sin(phi) * np.sin(theta), np.cos(theta), -np.cos(phi) * np.sin(theta)), -1
    ) @ turn
    col = (np.arctan2(way[..., 0], -way[..., 2]) / (2 * np.pi) % 1.0) * cols - 0.5
    row = np.arccos(np.clip(way[..., 1], -1, 1)) / np.pi * rows - 0.5
    wide = np.concatenate([room[:, -1:], room, room[:, :1]], 1)
    return np.asarray(
        cv2.remap(wide, (col + 1).astype(np.float32), np.clip(row, 0, rows - 1).astype(np.float32), cv2.INTER_LINEAR),
        np.float32,
    )


class PlugScene:
    """The Mitsuba scene and its parameters; one instance a process."""

    def __init__(self, mi: Any, depth: int = 6) -> None:
        self.mi = mi
        register(mi)
        self.slots: dict[str, PartMesh] = {name: speck(name) for name in SLOTS}
        self.starts: dict[str, NDArray[np.int64]] = {}
        self.placed: dict[str, tuple[int, ...]] = {}
        self.held: list[PartMesh] = []
        world: dict[str, Any] = {
            "type": "scene",
            "integrator": {"type": "path", "max_depth": depth, "rr_depth": 16},
            "environment": {"type": "envmap", "bitmap": mi.Bitmap(np.ones((*ENVIRONMENT_PX, 3), np.float32))},
        }
        self.meshes: dict[str, Any] = {
            name: self._mesh(speck(name), flatness=0.6 if name == "nose" else 0.0) for name in BODIES
        }
        self.meshes |= {name: self._sheet(name) for name in ("bench", "card")}
        world |= self.meshes
        for name in ("key", "flash"):
            world[name] = self._panel(name)
        self.scene = mi.load_dict(world)
        self.params = mi.traverse(self.scene)
        self.sensors: dict[int, Any] = {}
        self.sensor: Any = None

    def _sensor(self, size: int) -> Any:
        return self.mi.load_dict(
            {
                "type": PLUGIN,
                "film": {
                    "type": "hdrfilm",
                    "width": size,
                    "height": size,
                    "pixel_format": "rgb",
                    "component_format": "float32",
                    "rfilter": {"type": "box"},
                },
                "sampler": {"type": "independent"},
            }
        )

    def _mesh(self, part: PartMesh, flatness: float) -> Any:
        attributes = {
            field: {"type": "mesh_attribute", "name": f"vertex_{field}"}
            for field in ("base_color", "roughness", "metallic", "clearcoat")
        }
        bsdf = {
            "type": "twosided",
            "nested": {"type": "principled", "specular": 0.5, "flatness": flatness, "clearcoat_gloss": 0.95, **attributes},
        }
        props = self.mi.Properties()
        props["mesh_bsdf"] = self.mi.load_dict(bsdf)
        props.set_id(part.name)
        mesh = self.mi.Mesh("m", vertex_count=3, face_count=1, has_vertex_normals=True, props=props)
        mesh.add_attribute("vertex_base_color", 3, part.colour.ravel())
        for field in ("roughness", "metallic", "clearcoat"):
            mesh.add_attribute(f"vertex_{field}", 1, getattr(part, field))
        params = self.mi.traverse(mesh)
        params["vertex_positions"] = part.vertices.ravel()
        params["faces"] = part.faces.astype(np.uint32).ravel()
        params.update()
        return mesh

    def _sheet(self, name: str) -> Any:
        picture = np.full((TEXTURE_PX, TEXTURE_PX, 3), 0.18, np.float32)
        bsdf = {
            "type": "twosided",
            "nested": {
                "type": "principled",
                "base_color": {"type": "bitmap", "bitmap": self.mi.Bitmap(picture), "raw": True, "wrap_mode": "mirror"},
                "roughness": 0.9,
                "metallic": 0.0,
                "specular": 0.3,
            },
        }
        props = self.mi.Properties()
        props["mesh_bsdf"] = self.mi.load_dict(bsdf)
        props.set_id(name)
        far = speck(name)
        mesh = self.mi.Mesh(
            "s", vertex_count=3, face_count=1, has_vertex_normals=True, has_vertex_texcoords=True, props=props
        )
        params = self.mi.traverse(mesh)
        params["vertex_positions"] = far.vertices.ravel()
        params["vertex_texcoords"] = np.zeros(6, np.float32)
        params["faces"] = far.faces.astype(np.uint32).ravel()
        params.update()
        return mesh

    def _panel(self, name: str) -> Any:
        """Return a square that gives light on the side it faces."""
        props = self.mi.Properties()
        props["emitter"] = self.mi.load_dict({"type": "area", "radiance": {"type": "rgb", "value": [0.0, 0.0, 0.0]}})
        mesh = self.mi.Mesh(name, vertex_count=4, face_count=2, props=props)
        params = self.mi.traverse(mesh)
        params["vertex_positions"] = np.array([[0, 0, 0], [0, 1, 0], [1, 1, 0], [1, 0, 0]], np.float32).ravel() + _FAR
        params["faces"] = np.array([0, 1, 2, 0, 2, 3], np.uint32)
        params.update()
        return mesh

    def place(self, setting: Setting) -> None:
        """Put meshes, sheets and lights of a setting into the scene."""
        by_slot: dict[str, list[PartMesh]] = {name: [] for name in SLOTS}
        for part in setting.parts:
            by_slot[part.name].append(part)
        p = self.params
        same = {name: self.placed.get(name) == tuple(map(id, by_slot[name])) for name in SLOTS}
        self.placed = {name: tuple(map(id, by_slot[name])) for name in SLOTS}
        self.held = list(setting.parts)
        for body, names in BODIES.items():
            if all(same[name] for name in names):
                continue
            self.slots |= {name: merged(name, by_slot[name]) for name in names}
            part = merged(body, [self.slots[name] for name in names])
            self.starts[body] = np.cumsum([0] + [len(self.slots[name].faces) for name in names])
            p[f"{body}.vertex_positions"] = np.ascontiguousarray(part.vertices, np.float32).ravel()
            p[f"{body}.faces"] = part.faces.astype(np.uint32).ravel()
            p[f"{body}.vertex_base_color"] = np.clip(part.colour, 0, 1).astype(np.float32).ravel()
            p[f"{body}.vertex_roughness"] = np.clip(part.roughness, 0.03, 1).astype(np.float32)
            p[f"{body}.vertex_metallic"] = np.clip(part.metallic, 0, 1).astype(np.float32)
            p[f"{body}.vertex_clearcoat"] = np.clip(part.clearcoat, 0, 1).astype(np.float32)
            p[f"{body}.bsdf.brdf_0.specular"] = self._data(part.specular)
        self._place_sheet("bench", setting.bench)
        if setting.card is not None:
            self._place_sheet("card", setting.card)
        else:
            far = speck("card")
            p["card.vertex_positions"] = far.vertices.ravel()
            p["card.faces"] = far.faces.astype(np.uint32).ravel()
            p["card.vertex_texcoords"] = np.zeros(6, np.float32)
        self._place_lights(setting)
        p.update()

    def _data(self, value: float) -> Any:
        """Wrap a number so that it is data to the kernel, not compiled into it."""
        if self.mi.variant().startswith("scalar"):
            return float(value)
        import drjit as dr

        return dr.opaque(self.mi.Float, float(value))

    def _place_sheet(self, name: str, sheet: Sheet) -> None:
        p = self.params
        p[f"{name}.vertex_positions"] = sheet.vertices.astype(np.float32).ravel()
        p[f"{name}.faces"] = sheet.faces.astype(np.uint32).ravel()
        p[f"{name}.vertex_texcoords"] = sheet.texcoords.astype(np.float32).ravel()
        p[f"{name}.bsdf.brdf_0.base_color.data"] = np.clip(sheet.colour, 0, 0.95).astype(np.float32)
        p[f"{name}.bsdf.brdf_0.roughness.value"] = self._data(sheet.roughness)
        p[f"{name}.bsdf.brdf_0.metallic.value"] = self._data(sheet.metallic)
        p[f"{name}.bsdf.brdf_0.specular"] = self._data(sheet.specular)

    def _place_lights(self, setting: Setting) -> None:
        mi, p = self.mi, self.params
        room = turned(setting.environment, setting.turn)
        data = np.concatenate([room, room[:, :1]], 1)
        p["environment.data"] = np.ascontiguousarray(data, np.float32)
        for name, panel in (("key", setting.key), ("flash", setting.flash)):
            axis = np.subtract(panel.faces, panel.middle)
            axis = axis / np.linalg.norm(axis)
            side = np.cross(axis, [0.0, 1.0, 0.0] if abs(axis[2]) > 0.98 else [0.0, 0.0, 1.0])
            side = side / np.linalg.norm(side) * panel.half_mm
            up = np.cross(side, axis)
            corners = [np.add(panel.middle, i * side + j * up) for i, j in ((-1, -1), (-1, 1), (1, 1), (1, -1))]
            p[f"{name}.vertex_positions"] = np.array(corners, np.float32).ravel()
            p[f"{name}.emitter.radiance.value"] = mi.Color3f(*(self._data(c) for c in panel.radiance))

    def aim(self, camera: Camera, aperture_mm: float) -> None:
        """Move the camera; one sensor for each size of picture."""
        if camera.size_px not in self.sensors:
            self.sensors[camera.size_px] = self._sensor(camera.size_px)
        self.sensor = self.sensors[camera.size_px]
        self.sensor.aim(camera, aperture_mm)

    def picture(self, spp: int, seed: int) -> Floats:
        """Render (size, size, 3) linear radiance, not denoised."""
        return np.array(self.mi.render(self.scene, sensor=self.sensor, spp=spp, seed=seed), np.float32)
