"""One Mitsuba scene whose structure never changes: every picture only updates its parameters, so kernels compile once.

Slots: one mesh for each name in ``PART_NAMES``, one for loose objects, one for what stands in the foreground, bench and
card as textured sheets, a key light and a flash as area lights, an environment map. An unused slot holds a speck far
away.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from plugsight.synthetic.built_plug import NO_DEPOSIT, PART_NAMES, PartMesh
from plugsight.synthetic.viewpoint import Camera

LOOSE, FOREGROUND = "loose", "foreground"
SLOTS = (*PART_NAMES, LOOSE, FOREGROUND)
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


class PlugScene:
    """The Mitsuba scene and its parameters; one instance a process."""

    def __init__(self, mi: Any, depth: int = 6) -> None:
        self.mi = mi
        self.slots: dict[str, PartMesh] = {name: speck(name) for name in SLOTS}
        world: dict[str, Any] = {
            "type": "scene",
            "integrator": {"type": "path", "max_depth": depth, "rr_depth": 16},
            "sensor": self._sensor(64),
            "environment": {"type": "envmap", "bitmap": mi.Bitmap(np.ones((*ENVIRONMENT_PX, 3), np.float32))},
        }
        for name in SLOTS:
            world[name] = self._mesh(speck(name), flatness=0.6 if name in ("nose", "outer_insulator") else 0.0)
        for name in ("bench", "card"):
            world[name] = self._sheet()
        for name in ("key", "flash"):
            world[name] = {
                "type": "rectangle",
                "emitter": {"type": "area", "radiance": {"type": "rgb", "value": [0.0, 0.0, 0.0]}},
            }
        self.scene = mi.load_dict(world)
        self.params = mi.traverse(self.scene)

    def _sensor(self, size: int) -> dict[str, Any]:
        return {
            "type": "thinlens",
            "fov": 40.0,
            "aperture_radius": 0.5,
            "focus_distance": 100.0,
            "near_clip": 1.0,
            "far_clip": 20000.0,
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
        mesh = self.mi.Mesh("m", vertex_count=3, face_count=1, has_vertex_normals=True, props=props)
        mesh.add_attribute("vertex_base_color", 3, part.colour.ravel())
        for field in ("roughness", "metallic", "clearcoat"):
            mesh.add_attribute(f"vertex_{field}", 1, getattr(part, field))
        params = self.mi.traverse(mesh)
        params["vertex_positions"] = part.vertices.ravel()
        params["faces"] = part.faces.astype(np.uint32).ravel()
        params.update()
        return mesh

    def _sheet(self) -> Any:
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
        far = speck("sheet")
        mesh = self.mi.Mesh(
            "s", vertex_count=3, face_count=1, has_vertex_normals=True, has_vertex_texcoords=True, props=props
        )
        params = self.mi.traverse(mesh)
        params["vertex_positions"] = far.vertices.ravel()
        params["vertex_texcoords"] = np.zeros(6, np.float32)
        params["faces"] = far.faces.astype(np.uint32).ravel()
        params.update()
        return mesh

    def place(self, setting: Setting) -> None:
        """Put meshes, sheets and lights of a setting into the scene."""
        by_slot: dict[str, list[PartMesh]] = {name: [] for name in SLOTS}
        for part in setting.parts:
            by_slot[part.name].append(part)
        p = self.params
        for name in SLOTS:
            part = merged(name, by_slot[name])
            if part.vertices.shape == (3, 3) and self.slots[name].vertices.shape == (3, 3):
                continue
            self.slots[name] = part
            p[f"{name}.vertex_positions"] = np.ascontiguousarray(part.vertices, np.float32).ravel()
            p[f"{name}.faces"] = part.faces.astype(np.uint32).ravel()
            p[f"{name}.vertex_normals"] = np.zeros(part.vertices.size, np.float32)
            p[f"{name}.vertex_base_color"] = np.clip(part.colour, 0, 1).astype(np.float32).ravel()
            p[f"{name}.vertex_roughness"] = np.clip(part.roughness, 0.03, 1).astype(np.float32)
            p[f"{name}.vertex_metallic"] = np.clip(part.metallic, 0, 1).astype(np.float32)
            p[f"{name}.vertex_clearcoat"] = np.clip(part.clearcoat, 0, 1).astype(np.float32)
            p[f"{name}.bsdf.brdf_0.specular"] = float(part.specular)
        self._place_sheet("bench", setting.bench)
        if setting.card is not None:
            self._place_sheet("card", setting.card)
        else:
            far = speck("card")
            p["card.vertex_positions"] = far.vertices.ravel()
            p["card.faces"] = far.faces.astype(np.uint32).ravel()
            p["card.vertex_texcoords"] = np.zeros(6, np.float32)
            p["card.vertex_normals"] = np.zeros(9, np.float32)
        self._place_lights(setting)
        p.update()

    def _place_sheet(self, name: str, sheet: Sheet) -> None:
        p = self.params
        p[f"{name}.vertex_positions"] = sheet.vertices.astype(np.float32).ravel()
        p[f"{name}.faces"] = sheet.faces.astype(np.uint32).ravel()
        p[f"{name}.vertex_texcoords"] = sheet.texcoords.astype(np.float32).ravel()
        p[f"{name}.vertex_normals"] = np.zeros(sheet.vertices.size, np.float32)
        p[f"{name}.bsdf.brdf_0.base_color.data"] = np.clip(sheet.colour, 0, 0.95).astype(np.float32)
        p[f"{name}.bsdf.brdf_0.roughness.value"] = float(sheet.roughness)
        p[f"{name}.bsdf.brdf_0.metallic.value"] = float(sheet.metallic)
        p[f"{name}.bsdf.brdf_0.specular"] = float(sheet.specular)

    def _place_lights(self, setting: Setting) -> None:
        mi, p = self.mi, self.params
        data = np.concatenate([setting.environment, setting.environment[:, :1]], 1)
        p["environment.data"] = np.ascontiguousarray(data, np.float32)
        turn = np.eye(4)
        turn[:3, :3] = setting.turn
        p["environment.to_world"] = mi.AffineTransform4f(turn) if hasattr(mi, "AffineTransform4f") else mi.Transform4f(turn)
        for name, panel in (("key", setting.key), ("flash", setting.flash)):
            up = [0.0, 0.0, 1.0]
            axis = np.subtract(panel.faces, panel.middle)
            if abs(axis[2]) > 0.98 * np.linalg.norm(axis):
                up = [0.0, 1.0, 0.0]
            kind = type(p[f"{name}.to_world"])
            p[f"{name}.to_world"] = kind().look_at(list(panel.middle), list(panel.faces), up) @ kind().scale(
                float(panel.half_mm)
            )
            p[f"{name}.emitter.radiance.value"] = mi.Color3f(*(float(c) for c in panel.radiance))

    def aim(self, camera: Camera, aperture_mm: float) -> None:
        """Move the camera; the film is a window on the virtual film about the optical axis."""
        mi, p = self.mi, self.params
        at = camera.position
        kind = type(p["sensor.to_world"])
        p["sensor.to_world"] = kind().look_at(
            at.tolist(), (at + camera.forward * 100).tolist(), (-camera.down).tolist()
        )
        p["sensor.x_fov"] = float(2 * np.degrees(np.arctan(camera.film_px / 2 / camera.focal_px)))
        p["sensor.aperture_radius"] = float(aperture_mm)
        p["sensor.focus_distance"] = float(camera.focus_mm)
        p["sensor.film.size"] = mi.ScalarVector2u(camera.film_px, camera.film_px)
        p["sensor.film.crop_size"] = mi.ScalarVector2u(camera.size_px, camera.size_px)
        p["sensor.film.crop_offset"] = mi.ScalarPoint2u(*camera.offset_px)
        p.update()

    def picture(self, spp: int, seed: int) -> Floats:
        """Render (size, size, 3) linear radiance, not denoised."""
        return np.array(self.mi.render(self.scene, spp=spp, seed=seed), np.float32)
