"""Bench, card, clutter and light put around a plug for one picture; drawn independently of the plug's state."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plugsight.synthetic.bench_surface import BENCHES, CARD_STATES, make_bench, make_card
from plugsight.synthetic.built_plug import PartMesh
from plugsight.synthetic.loose_object import finger, moved, rag
from plugsight.synthetic.near_miss import NEAR_MISSES, near_miss
from plugsight.synthetic.setting import Setting
from plugsight.synthetic.viewpoint import Camera, Viewpoint, direction
from plugsight.synthetic.workshop_light import draw_light

Vec = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class SettingWords:
    """What was put into the picture, as truth."""

    pose: str
    """``lying``, ``held`` or ``standing``."""
    bench: str
    card: str
    """``none``, ``clean``, ``dirty`` or ``creased``."""
    card_cover: str
    """``fills`` the background, ``patch``, or ``none``."""
    clutter: int
    in_front: str
    """``none``, ``finger`` or ``cloth``."""
    light: str
    kelvin: float
    room: int


def _unit(v: Vec) -> Vec:
    return v / float(np.linalg.norm(v))


def _frame(normal: Vec, along: Vec) -> tuple[Vec, Vec]:
    """Two unit vectors in the plane, the second nearest to ``along``."""
    b = along - (along @ normal) * normal
    if np.linalg.norm(b) < 1e-3:
        b = np.array([1.0, 0.0, 0.0]) - normal[0] * normal
    b = _unit(b)
    return np.cross(b, normal), b


def _hit(camera: Camera, col: float, row: float, normal: Vec, offset: float) -> Vec:
    """Where the ray through a pixel meets the plane ``x . normal = offset``; far ahead when it misses."""
    c = (col + 0.5 + camera.offset_px[0] - camera.film_px / 2) / camera.focal_px
    r = (row + 0.5 + camera.offset_px[1] - camera.film_px / 2) / camera.focal_px
    d = camera.forward + c * camera.right + r * camera.down
    slope = float(d @ normal)
    t = (offset - float(camera.position @ normal)) / slope if slope < -1e-3 else 400.0
    return np.asarray(camera.position + d * float(np.clip(t, 10, 600)))


def _ground(rng: np.random.Generator, view: Viewpoint, camera: Camera, spots: Vec) -> tuple[str, Vec, float]:
    """Draw the background plane: its pose word, unit normal towards the camera, and offset along it."""
    towards = _unit(camera.position)
    axis = np.array([0.0, 0.0, 1.0])
    steep = view.kind == "end" or (view.kind == "oblique" and rng.random() < 0.45 and view.tilt_deg > 25)
    if steep:
        pose = "standing"
        normal = _unit(axis + 0.06 * rng.standard_normal(3))
        clear = -float(rng.uniform(0, 30)) if rng.random() < 0.6 else 0.0
        return (
            pose,
            normal,
            float((spots @ normal).min()) - clear if clear == 0.0 else float(rng.uniform(-45, -22)),
        )
    if rng.random() < 0.6:
        pose = "lying"
        flat = direction(0.0, view.azimuth_deg + rng.normal(0, 12))
        lean = np.radians(rng.uniform(-2, 9))
        normal = _unit(flat * np.cos(lean) - axis * np.sin(lean))
        return pose, normal, float((spots @ normal).min())
    normal = _unit(towards + 0.22 * rng.standard_normal(3))
    return "held", normal, float((spots @ normal).min()) - float(rng.uniform(5, 110))


def draw_setting(
    rng: np.random.Generator,
    family: str,
    view: Viewpoint,
    camera: Camera,
    parts: tuple[PartMesh, ...],
    careful: bool,
) -> tuple[Setting, SettingWords]:
    """Draw everything around ``parts``; ``careful``: a card is there and nothing stands in front."""
    spots = np.concatenate([p.vertices[::7] for p in parts]).astype(float) if parts else np.zeros((1, 3))
    pose, normal, offset = _ground(rng, view, camera, spots)
    across, along = _frame(normal, np.array([0.0, 0.0, 1.0]))
    turn = rng.uniform(0, 2 * np.pi)
    a, b = np.cos(turn) * across + np.sin(turn) * along, -np.sin(turn) * across + np.cos(turn) * along
    n = camera.size_px
    middle = _hit(camera, n / 2, n / 2, normal, offset)
    kind = str(rng.choice(BENCHES))
    state = str(rng.choice(CARD_STATES, p=(0.56, 0.30, 0.14, 0.0) if careful else (0.42, 0.28, 0.18, 0.12)))
    cover = "none" if state == "none" else ("fills" if rng.random() < (0.6 if careful else 0.45) else "patch")
    thick = float(rng.uniform(0.3, 1.2))
    bench = make_bench(rng, kind, middle - normal * (thick if cover != "none" else 0.0), a, b)
    card = None
    if cover == "fills":
        lean = rng.uniform(0, 2 * np.pi)
        ca, cb = np.cos(lean) * across + np.sin(lean) * along, -np.sin(lean) * across + np.cos(lean) * along
        card = make_card(rng, state, middle, ca, cb, (150.0, 150.0))
    elif cover == "patch":
        edge = rng.uniform(0, 2 * np.pi)
        far = rng.uniform(0.30, 0.46) * n
        seen = _hit(camera, n / 2 + far * np.cos(edge), n / 2 + far * np.sin(edge), normal, offset)
        half = (float(rng.uniform(0.25, 0.8)) * view.frame_mm, float(rng.uniform(0.25, 0.8)) * view.frame_mm)
        outward = seen - middle
        seen = middle + outward * rng.uniform(1.0, 1.25)
        lean = rng.normal(0, 0.5)
        ca, cb = np.cos(lean) * across + np.sin(lean) * along, -np.sin(lean) * across + np.cos(lean) * along
        card = make_card(rng, state, seen, ca, cb, half)
    loose, count = _clutter(rng, camera, normal, offset, across, along, 0.15 if careful else 0.45)
    front, word = _in_front(rng, view, camera, normal, offset, across, along, 0.04 if careful else 0.16)
    light = draw_light(rng, family, _unit(camera.position), camera.position, camera.right)
    world_up = _unit(normal + 0.5 * rng.standard_normal(3) * (0.3 if pose != "held" else 1.0))
    e1, _ = _frame(world_up, rng.standard_normal(3))
    # The environment's own up is y (Mitsuba's latitude-longitude convention).
    turn_env = np.stack([e1, world_up, np.cross(e1, world_up)], 1)
    setting = Setting(
        (*parts, *loose, *front), bench, card, light.environment, turn_env, light.key, light.flash
    )
    words = SettingWords(pose, kind, state, cover, count, word, light.kind, light.kelvin, light.room)
    return setting, words


def _clutter(
    rng: np.random.Generator,
    camera: Camera,
    normal: Vec,
    offset: float,
    across: Vec,
    along: Vec,
    chance: float,
) -> tuple[list[PartMesh], int]:
    """Loose objects lying on the bench near the picture's rim."""
    if rng.random() > chance:
        return [], 0
    parts = []
    n = camera.size_px
    for _ in range(int(rng.integers(1, 4))):
        mesh, width, high, low = near_miss(rng, str(rng.choice(NEAR_MISSES)))
        way = rng.uniform(0, 2 * np.pi)
        far = rng.uniform(0.8, 1.25) * n
        spot = _hit(camera, n / 2 + far * np.cos(way), n / 2 + far * np.sin(way), normal, offset)
        heading = rng.uniform(0, 2 * np.pi)
        z = np.cos(heading) * across + np.sin(heading) * along
        turn = np.stack([np.cross(normal, z), normal, z], 1)
        centred = moved(mesh, np.eye(3), np.array([0, 0, -(high + low) / 2]))
        parts.append(moved(centred, turn, spot + normal * width / 2))
    return parts, len(parts)


def _in_front(
    rng: np.random.Generator,
    view: Viewpoint,
    camera: Camera,
    normal: Vec,
    offset: float,
    across: Vec,
    along: Vec,
    chance: float,
) -> tuple[list[PartMesh], str]:
    """A finger holding the lower end or reaching in at the rim, or a rag lying there; the firing end stays clear."""
    if rng.random() > chance:
        return [], "none"
    n = camera.size_px
    base = camera.project(np.array([[0.0, 0.0, -15.0]]))[0]
    tip = camera.project(np.array([[0.0, 0.0, 3.0]]))[0]
    away = base[:2] - tip[:2]
    away = (
        away / (np.linalg.norm(away) + 1e-6)
        if view.kind != "end"
        else np.array([np.cos(turn := rng.uniform(0, 6.28)), np.sin(turn)])
    )
    middle = np.array([n / 2, n / 2])
    if rng.random() < 0.55:
        side = np.array([-away[1], away[0]]) * rng.choice([-1, 1])
        at = middle + away * rng.uniform(0.25, 0.55) * n + side * rng.uniform(0.25, 0.5) * n
        spot = _hit(camera, float(at[0]), float(at[1]), normal, offset) + normal * rng.uniform(6, 14)
        inward = camera.right * -(at - middle)[0] + camera.down * -(at - middle)[1]
        z = _unit(inward - (inward @ normal) * normal + 1e-6)
        x = _unit(normal + 0.4 * rng.standard_normal(3))
        x = _unit(x - (x @ z) * z)
        turn_to = np.stack([x, np.cross(z, x), z], 1)
        return [moved(finger(rng), turn_to, spot)], "finger"
    at = middle + (away * rng.uniform(0.75, 1.0) + np.array([-away[1], away[0]]) * rng.uniform(-0.5, 0.5)) * n
    cloth = rag(rng, float(rng.uniform(0.35, 0.6)) * view.frame_mm)
    spot = _hit(camera, float(at[0]), float(at[1]), normal, offset) + normal * 0.4
    turn_to = np.stack([across, along, np.cross(across, along)], 1)
    if turn_to[:, 2] @ normal < 0:
        turn_to[:, [0, 2]] *= -1
    return [moved(cloth, turn_to, spot)], "cloth"
