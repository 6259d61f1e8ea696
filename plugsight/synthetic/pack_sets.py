"""Put rendered sets into the data folder as they are shipped: same layout, smaller files, samples to view.

Truth is gzipped and rounded to five significant digits (poses to nine). Photos are repacked as progressive JPEG without
loss; where they are left out, canonical crops and close-ups stand for them, as WebP. The recipe's seed and each entry's
number give the exact plug again.
"""

import gzip
import json
import shutil
from functools import partial
from pathlib import Path
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image

from plugsight.spread import spread
from plugsight.synthetic.close_crop import close_up
from plugsight.synthetic.describe_set import picture_of, truth_of

WEBP_QUALITY, CLOSE_QUALITY = 66, 80
"""Of crops and close-ups."""
SAMPLE_PX = 320
_EXACT = ("projection", "crop_matrix")


def rounded(value: Any) -> Any:
    """Round every float in nested lists and dictionaries to five significant digits."""
    if isinstance(value, float):
        return float(f"{value:.5g}")
    if isinstance(value, list):
        return [rounded(v) for v in value]
    if isinstance(value, dict):
        return {k: rounded(v) for k, v in value.items() if k != "seconds"}
    return value


def pack_set(
    source: Path,
    target: Path,
    first_views: bool = False,
    limit: int = 0,
    photos: bool = True,
    workers: int = 1,
) -> int:
    """Copy one rendered set; return its number of pictures.

    ``first_views``: keep one picture a plug (its label, counted over all views made, stays). ``limit``: keep that many
    pictures, 0 all. Where the photos are kept, crops are left out: they can be made again from those. Not so with
    ``photos`` false: then canonical crops are kept, and close-ups are cut from the photos, if the set has any.
    """
    target.mkdir(parents=True, exist_ok=True)
    shutil.copy(source / "recipe.json", target / "recipe.json")
    rows = [row for row in truth_of(source) if row["view"] == 0 or not first_views]
    rows = rows[:limit] if limit else rows
    with gzip.GzipFile(target / "truth.jsonl.gz", "wb", mtime=0) as out:
        for row in rows:
            exact = {k: [[float(f"{v:.9g}") for v in line] for line in row[k]] for k in _EXACT if k in row}
            out.write((json.dumps(rounded(row) | exact, separators=(",", ":")) + "\n").encode())
    have = (source / "images").is_dir()
    parts = ("images", "masks") if have and photos else ("crops", "crop_masks")
    closer = ("closeups", "closeup_masks") if have and not photos else ()
    for part in (*parts, *closer):
        if part in closer or (source / part).is_dir():
            (target / part).mkdir(exist_ok=True)
    copy = partial(_copy, source, target, [part for part in parts if (source / part).is_dir()])
    for _ in spread(copy, [row["name"] for row in rows], workers=workers):
        pass
    for _ in spread(partial(_close, source, target), rows if closer else [], workers=workers):
        pass
    return len(rows)


def _copy(source: Path, target: Path, parts: list[str], name: str) -> None:
    for part in parts:
        if part == "images":
            with Image.open(source / part / f"{name}.jpg") as picture:
                picture.save(target / part / f"{name}.jpg", quality="keep", optimize=True, progressive=True)
        elif part == "crops":
            crop = np.asarray(cv2.imread(str(source / part / f"{name}.jpg")), np.uint8)
            _write_webp(target / part / f"{name}.webp", crop, WEBP_QUALITY)
        else:
            shutil.copy(source / part / f"{name}.png", target / part / f"{name}.png")


def _close(source: Path, target: Path, row: dict[str, Any]) -> None:
    name, rng = row["name"], np.random.default_rng([row["seed"], row["plug"], row["view"]])
    photo = np.asarray(cv2.imread(str(source / "images" / f"{name}.jpg")), np.uint8)
    mask = np.asarray(cv2.imread(str(source / "masks" / f"{name}.png"), cv2.IMREAD_GRAYSCALE), np.uint8)
    picture, labels = close_up(np.ascontiguousarray(photo[..., ::-1]), mask, row, rng)
    _write_webp(target / "closeups" / f"{name}.webp", np.ascontiguousarray(picture[..., ::-1]), CLOSE_QUALITY)
    cv2.imwrite(str(target / "closeup_masks" / f"{name}.png"), labels, [cv2.IMWRITE_PNG_COMPRESSION, 9])


def _write_webp(path: Path, picture: NDArray[np.uint8], quality: int) -> None:
    cv2.imwrite(str(path), picture, [cv2.IMWRITE_WEBP_QUALITY, quality])


def pick_samples(sources: list[Path], target: Path, count: int = 60, seed: int = 1) -> int:
    """Write small copies of pictures spread over labels and severities into ``target``."""
    target.mkdir(parents=True, exist_ok=True)
    rng = np.random.default_rng(seed)
    groups: dict[tuple[str, str], list[tuple[Path, str]]] = {}
    for source in sources:
        for row in truth_of(source):
            label = row.get("label") or {}
            key = (label.get("dominant", row.get("object", "none")), label.get("severity", ""))
            groups.setdefault(key, []).append((source, row["name"]))
    drawn = {
        key: [members[i] for i in rng.permutation(len(members))] for key, members in sorted(groups.items())
    }
    depth = max(map(len, drawn.values()), default=0)
    chosen = [(key, drawn[key][i]) for i in range(depth) for key in drawn if i < len(drawn[key])][:count]
    for (label, severity), (source, picked) in chosen:
        picture = cv2.resize(picture_of(source, picked), (SAMPLE_PX, SAMPLE_PX), interpolation=cv2.INTER_AREA)
        name = "_".join(filter(None, [label.replace(" ", "-"), severity, source.name, picked]))
        cv2.imwrite(str(target / f"{name}.jpg"), picture, [cv2.IMWRITE_JPEG_QUALITY, 82])
    return len(chosen)
