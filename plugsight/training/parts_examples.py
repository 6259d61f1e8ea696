"""Cut the examples of the part networks from a folder of renders: ``python -m plugsight.training.parts_examples RENDERS OUT``.

Reads ``truth.jsonl`` (or ``truth.jsonl.gz``, ``truth/*.json``), ``images/`` and ``masks/`` as the renderer writes them. The
files it leaves also say what lies on each plug, for the look network.
"""

import argparse
import gzip
import json
import math
from collections.abc import Iterator, Sequence
from dataclasses import fields
from pathlib import Path
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.spread import spread
from plugsight.training.parts_example import PartsExample, RenderTruth, letterbox, make_example
from plugsight.training.visible_damage import visible_damage
from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.errors import InputError
from plugsight.vocabulary.threads import THREADS

HELD_OUT_ONE_IN = 12
"""One plug in twelve is kept aside, by its number, for the report."""


def truths(renders: Path) -> Iterator[dict[str, Any]]:
    """Truth of every picture, one dictionary a picture, as the renderer wrote it."""
    joined = [renders / name for name in ("truth.jsonl", "truth.jsonl.gz") if (renders / name).is_file()][:1]
    for path in joined or sorted((renders / "truth").glob("*.json")):
        data = path.read_bytes()
        text = (gzip.decompress(data) if path.suffix == ".gz" else data).decode("utf-8")
        for line in text.splitlines():
            yield json.loads(line)


def truth_of(row: dict[str, Any]) -> RenderTruth:
    """Turn the renderer's row into the truth that an example needs."""
    plug = row["truth"]
    middle = np.mean(plug["gap_points_mm"], axis=0)
    return RenderTruth(
        kind=row["kind"],
        matrix=np.array(row["projection"]),
        gap_point_mm=(float(middle[0]), float(middle[1]), float(middle[2])),
        thread_diameter_mm=THREADS[plug["thread"]].diameter_mm,
        pitch_mm=plug["pitch_mm"],
        tilt_deg=row["tilt_deg"],
        off_profile_deg=row["strap_off_profile_deg"],
        gap_wire_mm=plug["gap_wire_mm"],
        gap_axial=plug["gap_axial"],
        edge_radius_mm=plug["edge_radius_mm"],
    )


def _picture(renders: Path, name: str) -> tuple[NDArray[np.uint8], NDArray[np.uint8]]:
    """Photo ``(rows, cols, 3)`` sRGB and its mask ``(rows, cols)``."""
    picture = cv2.imread(str(renders / "images" / f"{name}.jpg"))
    mask = cv2.imread(str(renders / "masks" / f"{name}.png"), cv2.IMREAD_GRAYSCALE)
    if picture is None or mask is None:
        raise InputError(str(renders), f"picture or mask of {name} can't be read", "Render with photos kept.")
    return np.ascontiguousarray(picture[..., ::-1]).astype(np.uint8), np.asarray(mask, dtype=np.uint8)


def _example(renders: Path, row: dict[str, Any]) -> PartsExample:
    picture, mask = _picture(renders, row["name"])
    gains = row["crop_gains"]
    rng = np.random.default_rng([row["seed"], row["plug"], row["view"]])
    return make_example(picture, mask, truth_of(row), (gains[0], gains[1], gains[2]), rng)


def look_of(row: dict[str, Any]) -> dict[str, Any]:
    """What the look network learns from: label, shares of the nose by deposit (NaN where none is seen), damage in view."""
    label = row["label"] or {"dominant": "", "second": None, "severity_score": math.nan}
    cells = max(row["nose_cells"], 0)
    shares = [row["deposit_cells"].get(d, 0) / cells if cells else math.nan for d in Deposit]
    visible = set(visible_damage(row["truth"]["damage"], row["damage_cells"]))
    return {
        "kind": row["kind"],
        "plug": f"{row['family']}-{row['seed']}-{row['plug']}",
        "deposit": label["dominant"],
        "second": label["second"] or "",
        "severity": np.float32(label["severity_score"]),
        "shares": np.array(shares, np.float32),
        "damage": np.array([d in visible for d in Damage]),
    }


def _batch(job: tuple[Path, Sequence[dict[str, Any]], Path]) -> int:
    renders, rows, out = job
    cv2.setNumThreads(1)
    plugs = [row for row in rows if "truth" in row]
    others = [letterbox(*_picture(renders, row["name"])) for row in rows if "truth" not in row]
    if plugs:
        examples = [_example(renders, row) for row in plugs]
        looks = [look_of(row) for row in plugs]
        arrays = {f.name: np.stack([getattr(e, f.name) for e in examples]) for f in fields(PartsExample)}
        arrays |= {name: np.array([look[name] for look in looks]) for name in looks[0]}
        arrays["held_out"] = np.array([row["plug"] % HELD_OUT_ONE_IN == 0 for row in plugs])
        arrays["names"] = np.array([row["name"] for row in plugs])
        np.savez(out, allow_pickle=False, **arrays)
    if others:
        # what is no plug teaches the finder alone
        np.savez(
            out.with_name(f"other_{out.name}"),
            finder=np.stack([whole for whole, _ in others]),
            finder_mask=np.stack([mask for _, mask in others]),
            held_out=np.zeros(len(others), bool),
        )
    return len(rows)


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
    name = args.renders.name
    jobs = [(args.renders, batch, args.out / f"{name}_{k:04d}.npz") for k, batch in enumerate(batches)]
    print(f"{sum(spread(_batch, jobs, workers=args.workers))} examples in {args.out}")  # noqa: T201


if __name__ == "__main__":
    main()
