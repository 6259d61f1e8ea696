"""Light: a workshop around the plug as an environment map, one key light, a phone's flash; by family, so splits differ.

Radiances are relative; the camera sets exposure. Colours follow black-body chromaticity (Planck's law, the D-series
being near it): 2700 to 6500 K.
"""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.synthetic.setting import ENVIRONMENT_PX, Panel

Floats = NDArray[np.float32]
LIGHTS = ("window", "strip", "overcast", "lamp", "dim", "flash")
_FAMILY_LIGHTS = {
    "train": (0.26, 0.24, 0.18, 0.16, 0.08, 0.08),
    "calibration": (0.26, 0.24, 0.18, 0.16, 0.08, 0.08),
    "test": (0.26, 0.24, 0.18, 0.16, 0.08, 0.08),
    "shift": (0.04, 0.10, 0.02, 0.38, 0.26, 0.20),
}
_FAMILY_SALT = {"train": 11, "calibration": 23, "test": 37, "shift": 53}
ROOMS = 60
"""Different rooms in each family; no room is in two families."""

# CIE 1931 primaries to linear sRGB (IEC 61966-2-1).
_XYZ_TO_RGB = np.array([[3.2406, -1.5372, -0.4986], [-0.9689, 1.8758, 0.0415], [0.0557, -0.2040, 1.0570]])


def kelvin_rgb(kelvin: float) -> NDArray[np.float64]:
    """Linear sRGB of a black body, green = 1; cubic fit of the Planckian locus (Kim et al. 2002), 1667 to 25000 K."""
    t = 1000.0 / float(np.clip(kelvin, 1700, 20000))
    if kelvin <= 4000:
        x = -0.2661239 * t**3 - 0.2343589 * t**2 + 0.8776956 * t + 0.179910
    else:
        x = -3.0258469 * t**3 + 2.1070379 * t**2 + 0.2226347 * t + 0.240390
    if kelvin <= 2222:
        y = -1.1063814 * x**3 - 1.34811020 * x**2 + 2.18555832 * x - 0.20219683
    elif kelvin <= 4000:
        y = -0.9549476 * x**3 - 1.37418593 * x**2 + 2.09137015 * x - 0.16748867
    else:
        y = 3.0817580 * x**3 - 5.87338670 * x**2 + 3.75112997 * x - 0.37001483
    rgb = _XYZ_TO_RGB @ np.array([x / y, 1.0, (1 - x - y) / y])
    rgb = np.clip(rgb, 0.02, None)
    return np.asarray(rgb / rgb[1])


@dataclass(frozen=True, eq=False)
class Light:
    """Environment and panels of one picture and the words for them."""

    kind: str
    kelvin: float
    environment: Floats
    key: Panel
    flash: Panel
    room: int


def _room(rng: np.random.Generator, kind: str, tint: NDArray[np.float64]) -> Floats:
    """Paint (128, 256, 3): walls, ceiling, floor, windows or strips, dark furniture; row 0 is overhead."""
    h, w = ENVIRONMENT_PX
    rows = np.linspace(1, -1, h)[:, None]
    wall = rng.uniform(0.10, 0.35)
    picture = np.repeat(
        np.where(rows > 0.45, wall * rng.uniform(1.0, 2.0), np.where(rows < -0.35, wall * 0.5, wall)), w, 1
    )
    picture = picture[..., None] * (tint * np.exp(rng.normal(0, 0.08, 3)))
    for _ in range(int(rng.integers(5, 14))):
        c, r = int(rng.integers(0, w)), int(rng.integers(int(h * 0.25), int(h * 0.9)))
        dw, dh = int(rng.integers(5, 50)), int(rng.integers(5, 40))
        colour = rng.uniform(0.02, 0.30) * np.exp(rng.normal(0, 0.35, 3))
        picture[r : r + dh, c : c + dw] = colour
    panes = {
        "window": (1, 3, 7.0),
        "strip": (1, 4, 9.0),
        "overcast": (1, 2, 3.0),
        "lamp": (0, 2, 2.0),
        "dim": (0, 2, 1.2),
        "flash": (0, 2, 1.0),
    }
    low, high, power = panes[kind]
    for _ in range(int(rng.integers(low, high + 1))):
        c = int(rng.integers(0, w))
        if kind == "strip":
            r, dh, dw = int(rng.integers(6, 38)), int(rng.integers(2, 5)), int(rng.integers(24, 80))
        else:
            r, dh, dw = int(rng.integers(22, 60)), int(rng.integers(10, 30)), int(rng.integers(12, 34))
        glow = (
            power * rng.uniform(0.6, 1.6) * (kelvin_rgb(rng.uniform(5200, 7000)) if kind != "strip" else tint)
        )
        picture[r : r + dh, c : c + dw] = glow
        if kind != "strip" and dw > 14:
            picture[r : r + dh, c + dw // 2 : c + dw // 2 + 2] = 0.1
            picture[r + dh // 2 : r + dh // 2 + 1, c : c + dw] = 0.1
    if kind == "overcast":
        picture[: h // 2] += 1.1 * kelvin_rgb(6500) * np.clip(rows[: h // 2, :, None] + 0.2, 0, 1)
    return np.asarray(
        cv2.GaussianBlur(picture.astype(np.float32), (0, 0), float(rng.uniform(0.6, 1.6))), np.float32
    )


def draw_light(
    rng: np.random.Generator,
    family: str,
    towards_camera: NDArray[np.float64],
    camera: NDArray[np.float64],
    camera_right: NDArray[np.float64],
) -> Light:
    """Draw room, key light and flash for that family; directions in the plug's coordinates, lengths in mm."""
    kind = str(rng.choice(LIGHTS, p=_FAMILY_LIGHTS[family]))
    room = int(rng.integers(0, ROOMS))
    kelvin = {
        "window": rng.uniform(5000, 6500),
        "strip": rng.uniform(3600, 6200),
        "overcast": rng.uniform(5600, 6500),
        "lamp": rng.uniform(2700, 3600),
        "dim": rng.uniform(2700, 4500),
        "flash": rng.uniform(2700, 5500),
    }[kind]
    tint = kelvin_rgb(kelvin)
    own = np.random.default_rng([_FAMILY_SALT[family], room, LIGHTS.index(kind)])
    environment = _room(own, kind, tint)
    environment = np.roll(environment, int(rng.integers(0, ENVIRONMENT_PX[1])), 1)
    side = np.cross([0.0, 0.0, 1.0], towards_camera)
    norm = float(np.linalg.norm(side))
    side = side / norm if norm > 1e-3 else np.array([1.0, 0, 0])
    way = (
        towards_camera * rng.uniform(0.1, 1.0)
        + side * rng.uniform(-1.2, 1.2)
        + np.array([0, 0, rng.uniform(-0.1, 1.2)])
    )
    way /= np.linalg.norm(way)
    reach = float(rng.uniform(300, 900))
    half = reach * float(
        {
            "window": rng.uniform(0.25, 0.6),
            "strip": rng.uniform(0.08, 0.3),
            "overcast": 0.8,
            "lamp": rng.uniform(0.03, 0.12),
            "dim": rng.uniform(0.05, 0.3),
            "flash": 0.2,
        }[kind]
    )
    strength = {"window": 5.0, "strip": 5.0, "overcast": 1.0, "lamp": 6.0, "dim": 1.2, "flash": 0.4}[kind]
    strength *= float(np.exp(rng.normal(0, 0.4)))
    glow = strength * 0.6 * tint * (reach / (2 * half)) ** 2
    spot = way * reach
    flash_power = 0.0
    if kind == "flash":
        flash_power = float(rng.uniform(1.5, 5.0))
    distance = float(np.linalg.norm(camera))
    at = camera + camera_right * float(rng.choice([-1, 1]) * rng.uniform(8, 14)) + towards_camera * 3
    flash_glow = flash_power * kelvin_rgb(5600) * (distance / (2 * 2.5)) ** 2
    return Light(
        kind=kind,
        kelvin=float(kelvin),
        environment=environment,
        key=Panel(_three(spot), (0.0, 0.0, 0.0), half, _three(glow)),
        flash=Panel(_three(at), (0.0, 0.0, 0.0), 2.5, _three(flash_glow)),
        room=room,
    )


def _three(v: NDArray[np.float64]) -> tuple[float, float, float]:
    return float(v[0]), float(v[1]), float(v[2])
