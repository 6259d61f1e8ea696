"""A contact sheet: one row for each dominant deposit, from the slightest case to the heaviest."""

from pathlib import Path
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.synthetic.describe_set import picture_of, truth_of

TILE_PX = 180
_MARGIN_PX = 100


def contact_sheet(folder: Path, output: Path, columns: int = 9) -> int:
    """Write the sheet of one rendered set (its crops, or its photos where it keeps those); return its pictures."""
    groups: dict[str, list[dict[str, Any]]] = {}
    for row in truth_of(folder):
        label = row.get("label")
        groups.setdefault(label["dominant"] if label else row.get("object", "nose not seen"), []).append(row)
    strips = []
    for name, rows in sorted(groups.items()):
        rows.sort(key=lambda row: (row.get("label") or {}).get("severity_score", 0.0))
        pick = [rows[i] for i in np.unique(np.linspace(0, len(rows) - 1, columns).astype(int))]
        strips.append(_strip(folder, name, pick, columns))
    cv2.imwrite(str(output), np.vstack(strips), [cv2.IMWRITE_JPEG_QUALITY, 80])
    return sum(min(columns, len(rows)) for rows in groups.values())


def _strip(folder: Path, name: str, rows: list[dict[str, Any]], columns: int) -> NDArray[np.uint8]:
    strip = np.full((TILE_PX, TILE_PX * columns + _MARGIN_PX, 3), 245, np.uint8)
    cv2.putText(strip, name, (4, TILE_PX // 2), cv2.FONT_HERSHEY_SIMPLEX, 0.45, (0, 0, 0), 1, cv2.LINE_AA)
    for k, row in enumerate(rows):
        at = _MARGIN_PX + k * TILE_PX
        tile = cv2.resize(picture_of(folder, row["name"]), (TILE_PX, TILE_PX), interpolation=cv2.INTER_AREA)
        severity = (row.get("label") or {}).get("severity", "")
        cv2.putText(
            tile, severity, (4, TILE_PX - 6), cv2.FONT_HERSHEY_SIMPLEX, 0.4, (255, 255, 255), 1, cv2.LINE_AA
        )
        strip[:, at : at + TILE_PX] = tile
    return strip
