"""The shell's upper rim: circles about the axis, seen as arcs that all bow alike."""

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

_GRID_WIDTH = 160
"""Thread width in pixels of the reduced picture on which arcs are summed."""

_RADII = (0.41, 0.44, 0.47)
"""Radii of the face's edges and of the end ring, in thread widths (M14: 5.6 to 6.7 mm)."""

_ABOVE, _BELOW = 0.07, 0.07
"""Rows searched about the coarse face, in thread widths."""


@dataclass(frozen=True, slots=True)
class Rim:
    """The face's rim: ``base_row`` the row of its centre, ``tilt_deg`` signed, ``strength`` 0..1 of its edges along the arcs."""

    base_row: float
    tilt_deg: float
    strength: float


def find_rim(
    pixels: NDArray[np.uint8],
    axis_col: float,
    face_row: float,
    width: float,
    tilt_deg: float,
    within_deg: float,
) -> Rim | None:
    """Find the rim's arcs on an upright picture, for tilts within ``within_deg`` of ``tilt_deg``.

    ``pixels`` ``(rows, cols, 3)`` uint8. A circle of radius R about the axis is an ellipse of half-height R sin(tilt). Of the
    face both halves show when the camera sees it (positive tilt), only the near half otherwise. Strap and nose
    hide part of the arcs; every column counts alike, however strong its edge. None where no tilt is to be tried.
    """
    step = width / _GRID_WIDTH
    pad = int(0.45 * _GRID_WIDTH)
    rows = int((_ABOVE + _BELOW) * _GRID_WIDTH)
    top = face_row - _ABOVE * width - pad * step
    strength = _vertical_edges(
        _grid(pixels, axis_col - step * (_GRID_WIDTH - 1) / 2, top, step, rows + 2 * pad)
    )
    x = (np.arange(_GRID_WIDTH) - (_GRID_WIDTH - 1) / 2) / _GRID_WIDTH
    index = np.arange(rows)[None, :] + pad
    best: tuple[float, float, int] | None = None
    for tilt in np.arange(tilt_deg - within_deg, tilt_deg + within_deg + 0.1, 1.0):
        sine = np.sin(np.radians(tilt))
        for radius in _RADII:
            use = np.flatnonzero(np.abs(x) < 0.95 * radius)
            arch = np.sqrt(radius**2 - x[use] ** 2) * sine * _GRID_WIDTH
            near = _along(strength, index, use, arch)
            score = near
            if tilt > 1.5:
                far = _along(strength, index, use, -arch)
                score = 0.7 * far + 0.3 * near
            score = score * np.exp(-0.5 * ((tilt - tilt_deg) / (1.5 * within_deg)) ** 2)
            k = int(np.argmax(score))
            if best is None or score[k] > best[0]:
                best = (float(score[k]), float(tilt), k)
    if best is None:
        return None
    return Rim(base_row=float(top + step * (best[2] + pad)), tilt_deg=best[1], strength=best[0])


def _grid(pixels: NDArray[np.uint8], left: float, top: float, step: float, rows: int) -> NDArray[np.float32]:
    """The part of the picture about the face on ``(rows, 160, 3)`` float32, 0..100, ``step`` pixels from one to the next."""
    margin = 4 + int(2 * step)
    low_row, low_col = max(0, int(top) - margin), max(0, int(left) - margin)
    part = pixels[
        low_row : int(top + step * rows) + margin, low_col : int(left + step * _GRID_WIDTH) + margin
    ]
    matrix = np.array([[step, 0, left - low_col], [0, step, top - low_row]], dtype=np.float64)
    soft = np.asarray(part * np.float32(100 / 255), dtype=np.float32)
    if step >= 1.3:
        soft = np.asarray(cv2.blur(soft, (round(step), round(step))), dtype=np.float32)
        if round(step) % 2 == 0:  # OpenCV's even boxes lie half a pixel up and left
            matrix[:, 2] += 0.5
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    grid = cv2.warpAffine(soft, matrix, (_GRID_WIDTH, rows), flags=flags, borderMode=cv2.BORDER_REPLICATE)
    return np.asarray(grid, dtype=np.float32)


def _vertical_edges(grid: NDArray[np.float32]) -> NDArray[np.float32]:
    """Strength of edges that run across, 0..1: the vertical gradient against its usual size, thinned to ridges."""
    soft = cv2.GaussianBlur(grid, (0, 0), sigmaX=1.5, sigmaY=0.8)
    change = np.zeros(grid.shape[:2], np.float32)
    change[1:-1] = np.sqrt(np.sum((soft[2:] - soft[:-2]) ** 2, axis=2)) / 2
    floor = max(float(np.percentile(change, 50)), 0.3)
    return np.asarray(np.clip(change / (12 * floor), 0, 1), dtype=np.float32)


def _along(
    strength: NDArray[np.float32], index: NDArray[np.int_], use: NDArray[np.int_], drop: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Mean strength along one arc for every row of its centre ``(rows,)``."""
    shift = np.rint(drop).astype(int)
    values = strength[np.clip(index + shift[:, None], 0, strength.shape[0] - 1), use[:, None]]
    return np.asarray(values.mean(axis=0), dtype=np.float64)
