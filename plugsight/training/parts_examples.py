"""Cut the examples of the part networks from a folder of renders: ``python -m plugsight.training.parts_examples RENDERS OUT``.

Reads ``truth.jsonl`` (or ``truth.jsonl.gz``, ``truth/*.json``), ``images/`` and ``masks/`` as the renderer writes them; where
the photos were not kept, ``crops/`` and ``crop_masks/`` (so ``data_synthetic/train`` will do).
"""

import argparse
import gzip
import json
import math
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from pathlib import Path
from typing import Any

import cv2
import numpy as np

from plugsight.training.parts_example import (
    PartsExample,
    RenderTruth,
    make_crop_example,
    make_example,
)
from plugsight.vocabulary.threads import THREADS

HELD_OUT_ONE_IN = 6
"""One plug in six is kept aside, by its number, for the report."""


def truths(renders: Path) -> Iterator[dict[str, Any]]:
    """Truth of every picture of a plug, one dictionary a picture, as the renderer wrote it."""
    joined = [renders / name for name in ("truth.jsonl", "truth.jsonl.gz") if (renders / name).is_file()][:1]
    for path in joined or sorted((renders / "truth").glob("*.json")):
        data = path.read_bytes()
        text = (gzip.decompress(data) if path.suffix == ".gz" else data).decode("utf-8")
        for line in text.splitlines():
            row = json.loads(line)
            if "truth" in row:
                yield row


def truth_of(row: dict[str, Any]) -> RenderTruth:
    """Turn the renderer's row into the truth that an example needs."""
    plug = row["truth"]
    middle = np.mean(plug["gap_points_mm"], axis=0)
    return RenderTruth(
        kind=row["kind"],
        matrix=np.array(row["projection"]),
        gap_point_mm=(float(middle[0]), float(middle[1]), float(middle[2])),
        thread_diameter_mm=THREADS[plug["thread"]].diameter_mm,
        tilt_deg=row["tilt_deg"],
        off_profile_deg=row["strap_off_profile_deg"],
        gap_wire_mm=plug["gap_wire_mm"],
        gap_axial=plug["gap_axial"],
        edge_radius_mm=plug["edge_radius_mm"],
    )


def _example(renders: Path, row: dict[str, Any]) -> PartsExample | None:
    rng = np.random.default_rng([row["seed"], row["plug"], row["view"]])
    if not (renders / "images" / f"{row['name']}.jpg").is_file():
        return _from_crop(renders, row, rng)
    picture = cv2.imread(str(renders / "images" / f"{row['name']}.jpg"))
    mask = cv2.imread(str(renders / "masks" / f"{row['name']}.png"), cv2.IMREAD_GRAYSCALE)
    if picture is None or mask is None:
        return None
    gains = row["crop_gains"]
    return make_example(
        np.ascontiguousarray(picture[..., ::-1]).astype(np.uint8),
        np.asarray(mask, dtype=np.uint8),
        truth_of(row),
        (gains[0], gains[1], gains[2]),
        rng,
    )


def _from_crop(renders: Path, row: dict[str, Any], rng: np.random.Generator) -> PartsExample | None:
    """Where only the canonical crop was kept."""
    found = [renders / "crops" / f"{row['name']}.{ending}" for ending in ("jpg", "webp")]
    crop = next((cv2.imread(str(path)) for path in found if path.is_file()), None)
    mask = cv2.imread(str(renders / "crop_masks" / f"{row['name']}.png"), cv2.IMREAD_GRAYSCALE)
    if crop is None or mask is None:
        return None
    truth = truth_of(row)
    to_crop = np.vstack([np.array(row["crop_matrix"]), (0.0, 0.0, 1.0)])
    return make_crop_example(
        np.ascontiguousarray(crop[..., ::-1]).astype(np.uint8),
        np.asarray(mask, dtype=np.uint8),
        replace(truth, matrix=to_crop @ truth.matrix),
        rng,
    )


def _batch(renders: Path, rows: Sequence[dict[str, Any]], out: Path) -> int:
    cv2.setNumThreads(1)
    made = [(row, example) for row in rows if (example := _example(renders, row)) is not None]
    if not made:
        return 0
    blank = np.full((320, 320), 255, np.uint8)
    np.savez(
        out,
        canonical=np.stack([e.canonical for _, e in made]),
        canonical_mask=np.stack([e.canonical_mask for _, e in made]),
        tip=np.stack([e.canonical if e.tip is None else e.tip for _, e in made]),
        tip_mask=np.stack([blank if e.tip_mask is None else e.tip_mask for _, e in made]),
        numbers=np.stack([e.numbers for _, e in made]),
        finder=np.stack([e.finder for _, e in made]),
        finder_mask=np.stack([e.finder_mask for _, e in made]),
        held_out=np.array([row["plug"] % HELD_OUT_ONE_IN == 0 for row, _ in made]),
        names=np.array([row["name"] for row, _ in made]),
    )
    return len(made)


def main(arguments: Sequence[str] | None = None) -> None:
    """Run the command."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("renders", type=Path)
    parser.add_argument("out", type=Path)
    parser.add_argument("--workers", type=int, default=1)
    args = parser.parse_args(arguments)
    args.out.mkdir(parents=True, exist_ok=True)
    rows = list(truths(args.renders))
    size = max(1, min(100, math.ceil(len(rows) / args.workers)))
    batches = [rows[k : k + size] for k in range(0, len(rows), size)]
    with ProcessPoolExecutor(args.workers) as pool:
        jobs = [
            pool.submit(_batch, args.renders, batch, args.out / f"examples_{k:04d}.npz")
            for k, batch in enumerate(batches)
        ]
        print(f"{sum(job.result() for job in jobs)} examples of {len(rows)} pictures in {args.out}")  # noqa: T201


if __name__ == "__main__":
    main()
