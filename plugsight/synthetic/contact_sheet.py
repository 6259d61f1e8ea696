"""A contact sheet: one row for each deposit (the one covering most of the nose in view), faint to heavy."""

import json
from pathlib import Path

import cv2
import numpy as np

from plugsight.vocabulary.deposits import Deposit


def contact_sheet(folder: Path, output: Path, columns: int = 8, crops: bool = False, tile: int = 200) -> int:
    """Write the sheet from ``truth.jsonl`` of a rendered set; return the number of pictures on it."""
    rows: dict[str, list[tuple[float, str]]] = {str(d): [] for d in Deposit}
    for line in (folder / "truth.jsonl").read_text().splitlines():
        entry = json.loads(line)
        nose, cells = entry.get("nose_cells", 0), entry.get("deposit_cells", {})
        if nose < 200:
            continue
        name, most = max(cells.items(), key=lambda kv: kv[1], default=("bare", 0))
        share = most / nose
        rows["bare" if share < 0.02 else name].append((share, entry["name"]))
    strips = []
    shown = 0
    for deposit, found in rows.items():
        found.sort()
        pick = [found[i] for i in np.linspace(0, len(found) - 1, min(columns, len(found))).astype(int)] if found else []
        strip = np.full((tile, tile * columns + 120, 3), 245, np.uint8)
        cv2.putText(strip, deposit, (4, tile // 2), cv2.FONT_HERSHEY_SIMPLEX, 0.5, (0, 0, 0), 1, cv2.LINE_AA)
        for k, (share, name) in enumerate(pick):
            picture = cv2.imread(str(folder / ("crops" if crops else "images") / f"{name}.jpg"))
            if picture is None:
                continue
            at = 120 + k * tile
            strip[:, at : at + tile] = cv2.resize(picture, (tile, tile), interpolation=cv2.INTER_AREA)
            cv2.putText(strip, f"{share:.2f}", (at + 4, tile - 6), cv2.FONT_HERSHEY_SIMPLEX, 0.4, (255, 255, 255), 1, cv2.LINE_AA)
            shown += 1
        strips.append(strip)
    cv2.imwrite(str(output), np.vstack(strips))
    return shown
