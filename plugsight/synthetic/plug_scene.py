"""One Mitsuba scene whose structure never changes: every picture only updates its parameters, so kernels compile once.

Slots: one for each name in ``PART_NAMES``, one for loose objects, one for what stands in the foreground. Slots are
joined into three meshes, nose, other parts, other things: Dr.Jit's tracing time grows steeply with the number of materials
(40 s a picture with one material a slot, seen on 2 CPU cores). Bench and card are textured sheets; a key light and a
flash are area lights; an environment map does the rest.
"""

from typing import TYPE_CHECKING, Any

import numpy as np

from plugsight.synthetic.built_plug import PartMesh
from plugsight.synthetic.phone_lens import PLUGIN, register
from plugsight.synthetic.setting import (
    BODIES,
    ENVIRONMENT_PX,
    FAR_MM,
    SLOTS,
    TEXTURE_PX,
    Floats,
    Setting,
    Sheet,
    merged,
    speck,
    turned,
)
from plugsight.synthetic.viewpoint import Camera

if TYPE_CHECKING:
    from numpy.typing import NDArray


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
            "nested": {
                "type": "principled",
                "specular": 0.5,
                "flatness": flatness,
                "clearcoat_gloss": 0.95,
                **attributes,
            },
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
                "base_color": {
                    "type": "bitmap",
                    "bitmap": self.mi.Bitmap(picture),
                    "raw": True,
                    "wrap_mode": "mirror",
                },
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
        props["emitter"] = self.mi.load_dict(
            {"type": "area", "radiance": {"type": "rgb", "value": [0.0, 0.0, 0.0]}}
        )
        mesh = self.mi.Mesh(name, vertex_count=4, face_count=2, props=props)
        params = self.mi.traverse(mesh)
        params["vertex_positions"] = (
            np.array([[0, 0, 0], [0, 1, 0], [1, 1, 0], [1, 0, 0]], np.float32).ravel() + FAR_MM
        )
        params["faces"] = np.array([0, 1, 2, 0, 2, 3], np.uint32)
        params.update()
        return mesh

    def place(self, setting: Setting) -> None:
        """Put meshes, sheets and lights of a setting into the scene."""
        by_slot: dict[str, list[PartMesh]] = {name: [] for name in SLOTS}
        for part in setting.parts:
            by_slot[part.name].append(part)
        same = {name: self.placed.get(name) == tuple(map(id, by_slot[name])) for name in SLOTS}
        self.placed = {name: tuple(map(id, by_slot[name])) for name in SLOTS}
        self.held = list(setting.parts)
        for body, names in BODIES.items():
            if all(same[name] for name in names):
                continue
            self.slots |= {name: merged(name, by_slot[name]) for name in names}
            part = merged(body, [self.slots[name] for name in names])
            self.starts[body] = np.cumsum([0] + [len(self.slots[name].faces) for name in names])
            self._put(f"{body}.vertex_positions", np.ascontiguousarray(part.vertices, np.float32).ravel())
            self._put(f"{body}.faces", part.faces.astype(np.uint32).ravel())
            self._put(f"{body}.vertex_base_color", np.clip(part.colour, 0, 1).astype(np.float32).ravel())
            self._put(f"{body}.vertex_roughness", np.clip(part.roughness, 0.03, 1).astype(np.float32))
            self._put(f"{body}.vertex_metallic", np.clip(part.metallic, 0, 1).astype(np.float32))
            self._put(f"{body}.vertex_clearcoat", np.clip(part.clearcoat, 0, 1).astype(np.float32))
            self._put(f"{body}.bsdf.brdf_0.specular", self._data(part.specular))
        self._place_sheet("bench", setting.bench)
        if setting.card is not None:
            self._place_sheet("card", setting.card)
        else:
            far = speck("card")
            self._put("card.vertex_positions", far.vertices.ravel())
            self._put("card.faces", far.faces.astype(np.uint32).ravel())
            self._put("card.vertex_texcoords", np.zeros(6, np.float32))
        self._place_lights(setting)
        self.params.update()

    def _put(self, name: str, value: Any) -> None:
        p = self.params
        if self.mi.variant().startswith("scalar"):
            # ``p[name] = value`` first compares old and new, which plain arrays of two sizes can't be.
            current, kind, _, _ = p.properties[name]
            p.set_dirty(name)
            p.set_property(current, kind, value)
        else:
            p[name] = value

    def _data(self, value: float) -> Any:
        """Wrap a number so that it is data to the kernel, not compiled into it."""
        if self.mi.variant().startswith("scalar"):
            return float(value)
        import drjit as dr  # noqa: PLC0415 - the render extra may be missing

        return dr.opaque(self.mi.Float, float(value))

    def _place_sheet(self, name: str, sheet: Sheet) -> None:
        self._put(f"{name}.vertex_positions", sheet.vertices.astype(np.float32).ravel())
        self._put(f"{name}.faces", sheet.faces.astype(np.uint32).ravel())
        self._put(f"{name}.vertex_texcoords", sheet.texcoords.astype(np.float32).ravel())
        self._put(f"{name}.bsdf.brdf_0.base_color.data", np.clip(sheet.colour, 0, 0.95).astype(np.float32))
        self._put(f"{name}.bsdf.brdf_0.roughness.value", self._data(sheet.roughness))
        self._put(f"{name}.bsdf.brdf_0.metallic.value", self._data(sheet.metallic))
        self._put(f"{name}.bsdf.brdf_0.specular", self._data(sheet.specular))

    def _place_lights(self, setting: Setting) -> None:
        mi = self.mi
        room = turned(setting.environment, setting.turn)
        data = np.concatenate([room, room[:, :1]], 1)
        self._put("environment.data", np.ascontiguousarray(data, np.float32))
        for name, panel in (("key", setting.key), ("flash", setting.flash)):
            axis = np.subtract(panel.faces, panel.middle)
            axis = axis / np.linalg.norm(axis)
            side = np.cross(axis, [0.0, 1.0, 0.0] if abs(axis[2]) > 0.98 else [0.0, 0.0, 1.0])
            side = side / np.linalg.norm(side) * panel.half_mm
            up = np.cross(side, axis)
            corners = [
                np.add(panel.middle, i * side + j * up) for i, j in ((-1, -1), (-1, 1), (1, 1), (1, -1))
            ]
            self._put(f"{name}.vertex_positions", np.array(corners, np.float32).ravel())
            self._put(f"{name}.emitter.radiance.value", mi.Color3f(*(self._data(c) for c in panel.radiance)))

    def aim(self, camera: Camera, aperture_mm: float) -> None:
        """Move the camera; one sensor for each size of picture."""
        if camera.size_px not in self.sensors:
            self.sensors[camera.size_px] = self._sensor(camera.size_px)
        self.sensor = self.sensors[camera.size_px]
        self.sensor.aim(camera, aperture_mm)

    def picture(self, spp: int, seed: int) -> Floats:
        """Render (size, size, 3) linear radiance, not denoised."""
        return np.array(self.mi.render(self.scene, sensor=self.sensor, spp=spp, seed=seed), np.float32)
