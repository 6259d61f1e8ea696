"""Surfaces as grids of points: revolved profiles and swept sections, their normals and triangles."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Points = NDArray[np.float64]
LARGEST_FILLET = 0.49
"""Share of a side that one corner's rounding may take."""


@dataclass(frozen=True, eq=False)
class Grid:
    """Closed in columns (around), open in rows (along); rows x columns x 3, mm; outward = along cross rows."""

    points: Points

    @property
    def flat(self) -> Points:
        """Points as ``(n, 3)``, row after row."""
        return self.points.reshape(-1, 3)

    def normals(self) -> Points:
        """Unit normals ``(n, 3)``; where a row shrinks to a point, the next row's mean normal."""
        along = np.gradient(self.points, axis=0)
        around = np.roll(self.points, -1, axis=1) - np.roll(self.points, 1, axis=1)
        normal = np.cross(around, along)
        length = np.linalg.norm(normal, axis=2, keepdims=True)
        for row, beside in ((0, 1), (-1, -2)):
            if length[row].max() < 1e-9:
                normal[row] = normal[beside].mean(axis=0)
                length[row] = np.linalg.norm(normal[row], axis=1, keepdims=True)
        return np.asarray((normal / np.maximum(length, 1e-12)).reshape(-1, 3))

    def faces(self) -> NDArray[np.int32]:
        """Triangles ``(m, 3)``, counter-clockwise seen from outside."""
        rows, columns = self.points.shape[:2]
        low = np.arange(rows - 1)[:, None] * columns
        at = np.arange(columns)[None, :]
        after = (at + 1) % columns
        a, b, c, d = low + at, low + after, low + columns + after, low + columns + at
        quads = np.stack([np.stack([a, b, c], -1), np.stack([a, c, d], -1)], axis=2)
        return np.asarray(quads.reshape(-1, 3), dtype=np.int32)

    def areas(self) -> NDArray[np.float64]:
        """Area that each point stands for, ``(n,)`` mm²."""
        along = np.gradient(self.points, axis=0)
        around = (np.roll(self.points, -1, axis=1) - np.roll(self.points, 1, axis=1)) / 2
        return np.asarray(np.linalg.norm(np.cross(around, along), axis=2).reshape(-1))


def filleted(corners: list[tuple[float, float, float]]) -> Points:
    """Polyline through ``(r, z)`` corners, each rounded with its own radius (third number; 0: sharp).

    A radius too large for its neighbours is reduced to fit.
    """
    at = np.array([c[:2] for c in corners])
    out = [at[0]]
    for i in range(1, len(at) - 1):
        before, after = at[i - 1] - at[i], at[i + 1] - at[i]
        length_before, length_after = np.linalg.norm(before), np.linalg.norm(after)
        if corners[i][2] <= 0 or min(length_before, length_after) < 1e-9:
            out.append(at[i])
            continue
        before, after = before / length_before, after / length_after
        half = np.arccos(np.clip(before @ after, -1, 1)) / 2
        if np.pi / 2 - half < 1e-3:
            out.append(at[i])
            continue
        cut = min(corners[i][2] / np.tan(half), LARGEST_FILLET * length_before, LARGEST_FILLET * length_after)
        radius = cut * np.tan(half)
        toward = (before + after) / np.linalg.norm(before + after)
        middle = at[i] + toward * (radius / np.sin(half))
        start, stop = at[i] + before * cut - middle, at[i] + after * cut - middle
        turn = np.pi - 2 * half
        steps = max(4, int(np.ceil(turn / 0.2)))
        t = np.linspace(0, 1, steps + 1)[:, None]
        out.extend(middle + (np.sin((1 - t) * turn) * start + np.sin(t * turn) * stop) / np.sin(turn))
    out.append(at[-1])
    return np.array(out)


def spaced(line: Points, spacing_mm: NDArray[np.float64]) -> Points:
    """Resample a polyline so that points are about ``spacing_mm`` (one per vertex) apart; keeps both ends."""
    step = np.linalg.norm(np.diff(line, axis=0), axis=1)
    count = np.concatenate([[0.0], np.cumsum(step / ((spacing_mm[1:] + spacing_mm[:-1]) / 2))])
    where = np.linspace(0, count[-1], max(2, int(np.ceil(count[-1])) + 1))
    return np.stack([np.interp(where, count, line[:, k]) for k in range(line.shape[1])], axis=1)


def revolved(profile: Points, columns: int) -> Grid:
    """Turn an ``(n, 2)`` profile of ``(r, z)`` about z. Walk it with the solid on the left seen in the (r, z) plane."""
    angle = np.arange(columns) * (2 * np.pi / columns)
    r, z = profile[:, :1], profile[:, 1:]
    return Grid(
        np.stack([r * np.cos(angle), r * np.sin(angle), np.broadcast_to(z, (len(r), columns))], axis=2)
    )
