"""Where the phone stands, and the pinhole geometry that follows from it.

Signed tilt: angle of the line from the gap to the lens out of the plane square to the plug's axis, positive when the
lens looks down on the firing end. The strap stands in profile when the camera's azimuth is 90 or 270 degrees.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Vec = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Viewpoint:
    """One place of the camera; mm and degrees in the plug's coordinates."""

    kind: str
    """``side`` (tilt up to 15), ``oblique`` (15 to 50) or ``end`` (70 to 90)."""
    tilt_deg: float
    azimuth_deg: float
    roll_deg: float
    """Turn of the plug in the picture: 0 upright, positive clockwise."""
    distance_mm: float
    """From the gap to the lens."""
    frame_mm: float
    """Width of the picture at the depth of the shell face."""
    gap_mm: tuple[float, float, float]
    aim_mm: tuple[float, float, float]
    """Where the optical axis passes; it need not be the picture's centre (a crop of a larger photo)."""
    centre_mm: tuple[float, float, float]
    """What stands at the picture's centre."""
    size_px: int
    aperture_mm: float
    """Lens radius."""
    focus_error_mm: float
    """Positive: focused behind the tip."""

    @property
    def strap_off_profile_deg(self) -> float:
        """How far the strap is from profile, 0 to 90."""
        a = abs((self.azimuth_deg % 180.0) - 90.0)
        return float(a)

    @property
    def strap_side(self) -> str:
        """Side of the upright picture on which the strap's leg stands."""
        return "left" if np.sin(np.radians(self.azimuth_deg)) > 0 else "right"


@dataclass(frozen=True, eq=False)
class Camera:
    """Pinhole derived from a viewpoint: unit vectors, focal length and film window in pixels."""

    position: Vec
    right: Vec
    down: Vec
    forward: Vec
    focal_px: float
    film_px: int
    """Side of the square virtual film whose middle is the optical axis."""
    offset_px: tuple[int, int]
    """Column and row of the picture's corner on the virtual film."""
    size_px: int
    focus_mm: float

    def project(self, points: Vec) -> Vec:
        """Project (n, 3) mm to (n, 3): column, row (pixel centres at whole numbers), depth in mm."""
        q = np.asarray(points, float) - self.position
        z = q @ self.forward
        col = self.focal_px * (q @ self.right) / z + self.film_px / 2 - self.offset_px[0] - 0.5
        row = self.focal_px * (q @ self.down) / z + self.film_px / 2 - self.offset_px[1] - 0.5
        return np.stack([col, row, z], -1)

    @property
    def matrix(self) -> Vec:
        """(3, 4): homogeneous (column, row, 1) times depth from homogeneous mm."""
        c = self.film_px / 2 - 0.5
        k = np.array(
            [
                [self.focal_px, 0, c - self.offset_px[0]],
                [0, self.focal_px, c - self.offset_px[1]],
                [0, 0, 1.0],
            ]
        )
        r = np.stack([self.right, self.down, self.forward])
        return np.asarray(k @ np.concatenate([r, -(r @ self.position)[:, None]], 1))

    def rays(self, per_pixel: int) -> tuple[Vec, Vec]:
        """Return origin (3,) and unit directions (n, n, 3) through the middles of ``per_pixel`` squared cells a pixel."""
        n = self.size_px * per_pixel
        at = (np.arange(n) + 0.5) / per_pixel
        col = (at + self.offset_px[0] - self.film_px / 2) / self.focal_px
        row = (at + self.offset_px[1] - self.film_px / 2) / self.focal_px
        d = self.forward + col[None, :, None] * self.right + row[:, None, None] * self.down
        # the three axes stand at right angles, so the length needs no sum over the last axis
        return self.position, d / np.sqrt(1.0 + col[None, :] ** 2 + row[:, None] ** 2)[..., None]


def _unit(v: Vec) -> Vec:
    return np.asarray(v / float(np.linalg.norm(v)))


def direction(tilt_deg: float, azimuth_deg: float) -> Vec:
    """Unit vector from the plug towards a camera at that tilt and azimuth."""
    t, a = np.radians(tilt_deg), np.radians(azimuth_deg)
    return np.array([np.cos(t) * np.cos(a), np.cos(t) * np.sin(a), np.sin(t)])


def camera_of(view: Viewpoint) -> Camera:
    """Derive the pinhole of a viewpoint."""
    gap = np.array(view.gap_mm)
    position = gap + view.distance_mm * direction(view.tilt_deg, view.azimuth_deg)
    forward = _unit(np.array(view.aim_mm) - position)
    axis = np.array([0.0, 0.0, 1.0])
    if view.kind == "end":
        axis = -direction(0.0, view.azimuth_deg)
    up = _unit(axis - (axis @ forward) * forward)
    right = np.cross(forward, up)
    roll = np.radians(view.roll_deg)
    down = -(np.cos(roll) * up - np.sin(roll) * right)
    right = np.cross(down, forward)
    depth = float(-position @ forward)
    focal = view.size_px / view.frame_mm * depth
    q = np.array(view.centre_mm) - position
    col, row = (focal * float(q @ e) / float(q @ forward) for e in (right, down))
    need = 2 * (max(abs(col), abs(row)) + view.size_px / 2) + 2
    film = view.size_px * 2 * int(np.ceil(need / (2 * view.size_px)))
    offset = (round(film / 2 + col - view.size_px / 2), round(film / 2 + row - view.size_px / 2))
    focus = float((gap - position) @ forward) + view.focus_error_mm
    return Camera(position, right, down, forward, focal, film, offset, view.size_px, focus)
