"""What is true of a picture, as the renderer wrote it."""

import gzip
import json
import math
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.segments.record import Part


@dataclass(frozen=True, slots=True, eq=False)
class PictureTruth:
    """Truth of one picture; mm, degrees; ``projection`` ``(3, 4)`` from plug mm to photo (column, row, 1)."""

    name: str
    kind: str
    thread: str
    tilt_deg: float
    off_profile_deg: float
    px_per_mm: float
    gap_wire_mm: float
    gap_flat_mm: float
    gap_axial: bool
    edge_radius_mm: float
    electrode_mm: float
    electrodes: int
    deposit: str
    focus_error_mm: float
    card_share: float
    projection: NDArray[np.float64]
    gap_point_mm: NDArray[np.float64]
    strap_width_mm: float
    electrode_shown_mm: float
    """Height of centre electrode that the picture shows, by its true mask; NaN without one."""

    def project(self, point_mm: NDArray[np.float64]) -> NDArray[np.float64]:
        """Photo (column, row) of one point ``(3,)`` of the plug."""
        q = self.projection @ np.append(point_mm, 1.0)
        return np.asarray(q[:2] / q[2], dtype=np.float64)


def read_truth(folder: Path) -> Iterator[PictureTruth]:
    """Yield the truth of every picture of a plug in ``folder``: ``truth.jsonl``, ``truth.jsonl.gz`` or ``truth/*.json``."""
    files = [folder / name for name in ("truth.jsonl", "truth.jsonl.gz") if (folder / name).is_file()][:1]
    for path in files or sorted((folder / "truth").glob("*.json")):
        data = path.read_bytes()
        text = (gzip.decompress(data) if path.suffix == ".gz" else data).decode("utf-8")
        for line in text.splitlines():
            row = json.loads(line)
            if "truth" not in row:
                continue
            plug = row["truth"]
            shares = plug["nose_shares"]
            yield PictureTruth(
                name=row["name"],
                kind=row["kind"],
                thread=plug["thread"],
                tilt_deg=row["tilt_deg"],
                off_profile_deg=row["strap_off_profile_deg"],
                px_per_mm=row["px_per_mm_gap"],
                gap_wire_mm=plug["gap_wire_mm"],
                gap_flat_mm=plug["gap_flat_mm"],
                gap_axial=plug["gap_axial"],
                edge_radius_mm=plug["edge_radius_mm"],
                electrode_mm=plug["electrode_diameter_mm"],
                electrodes=len(plug["strap_azimuths_deg"]),
                deposit=str(shares[0][0]) if shares else "bare",
                focus_error_mm=row["focus_error_mm"],
                card_share=row["card_share"],
                projection=np.array(row["projection"]),
                gap_point_mm=np.mean(np.array(plug["gap_points_mm"]), axis=0),
                strap_width_mm=plug["strap_width_mm"],
                electrode_shown_mm=_shown(folder, row),
            )


def _shown(folder: Path, row: dict[str, Any]) -> float:
    mask = cv2.imread(str(folder / "masks" / f"{row['name']}.png"), cv2.IMREAD_GRAYSCALE)
    if mask is None:
        return math.nan
    pixels = int((mask == Part.CENTRE_ELECTRODE).sum())
    return float(pixels / row["px_per_mm_gap"] ** 2 / row["truth"]["electrode_diameter_mm"])
