"""Counts and sizes of rendered sets, as printed and as kept in the data folder's README."""

import gzip
import json
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.vocabulary.errors import InputError


def truth_of(folder: Path) -> Iterator[dict[str, Any]]:
    """Yield the truth entries of a set, from ``truth.jsonl`` or ``truth.jsonl.gz``."""
    plain, packed = folder / "truth.jsonl", folder / "truth.jsonl.gz"
    if plain.exists():
        yield from map(json.loads, plain.read_text().splitlines())
    else:
        with gzip.open(packed, "rt") as lines:
            yield from map(json.loads, lines)


def picture_of(folder: Path, name: str, prefer: str = "images") -> NDArray[np.uint8]:
    """Read a picture of a set, (rows, cols, 3) uint8 BGR: its photo or its crop, whichever the set keeps."""
    for part in (prefer, "images", "crops"):
        for ending in ("jpg", "webp"):
            at = folder / part / f"{name}.{ending}"
            if at.exists():
                return np.asarray(cv2.imread(str(at)), np.uint8)
    raise InputError(str(folder), f"must hold a picture named {name}", "render the set again")


def describe(data: Path) -> list[str]:
    """Return one paragraph of plain lines for every set below ``data``."""
    lines = []
    for folder in sorted(p.parent for p in data.glob("*/recipe.json")):
        rows = list(truth_of(folder))
        size = sum(p.stat().st_size for p in folder.rglob("*") if p.is_file()) / 1e6
        lines.append(
            f"{folder.name}: {len(rows)} pictures of {len({r['plug'] for r in rows})} plugs, {size:.1f} MB"
        )
        for title, values in (
            ("kinds of view", [r["kind"] for r in rows]),
            (
                "labels by plug",
                list({r["plug"]: (r.get("label") or {}).get("dominant") for r in rows}.values()),
            ),
            (
                "severity by plug",
                list({r["plug"]: (r.get("label") or {}).get("severity") for r in rows}.values()),
            ),
            (
                "mixed by plug",
                list({r["plug"]: bool((r.get("label") or {}).get("second")) for r in rows}.values()),
            ),
            ("threads", [r["truth"]["thread"] for r in rows if "truth" in r]),
            ("objects", [r["object"] for r in rows if "object" in r]),
            ("light", [r["setting_light"] for r in rows]),
            ("card", [r["setting_card"] for r in rows]),
        ):
            counts = Counter(str(v) for v in values)
            if counts:
                lines.append(f"  {title}: " + ", ".join(f"{k} {n}" for k, n in sorted(counts.items())))
    return lines
