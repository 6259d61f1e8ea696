"""Mean and spread of end views' profiles: ``python -m plugsight.training.end_profile data_synthetic/train [--check SET]``.

Writes ``plugsight/view/end_profile.json``. The crops are put on their own background at random sizes, because the
finder sees shells of any size in photos.
"""

import argparse
import gzip
import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from plugsight.view.end import EndCircle, find_circle, find_middle, seen_from_end, softened
from plugsight.view.end_profile import FILE, STEP, profile_at, unroll
from plugsight.view.finder import PartMap, see_parts

LEAST_SPREAD = 0.06
SMALLEST = 0.62
"""Least size of a crop on its canvas."""


@dataclass(frozen=True, slots=True, eq=False)
class EndPicture:
    """A crop on its canvas, ``(320, 320, 3)`` uint8, what the finder sees on it, and the true radius of the crests, pixels."""

    pixels: NDArray[np.uint8]
    parts: PartMap
    radius: float


def end_pictures(folder: Path) -> Iterator[EndPicture]:
    """Yield every end view of a packed set that the view room would take for one."""
    for line in gzip.decompress((folder / "truth.jsonl.gz").read_bytes()).decode("utf-8").splitlines():
        row = json.loads(line)
        if row.get("kind") != "end" or "truth" not in row:
            continue
        crop = cv2.imread(str(folder / "crops" / f"{row['name']}.webp"))
        if crop is None:
            continue
        size = np.random.default_rng([row["plug"], row["view"]]).uniform(SMALLEST, 1.0)
        pixels = _on_canvas(np.ascontiguousarray(crop[..., ::-1]).astype(np.uint8), size)
        parts = see_parts(pixels)
        if parts is not None and seen_from_end(parts):
            yield EndPicture(pixels, parts, size * _radius(row))


def _on_canvas(crop: NDArray[np.uint8], size: float) -> NDArray[np.uint8]:
    side = crop.shape[0]
    small = round(side * size)
    canvas = np.empty_like(crop)
    canvas[:] = np.median(crop[[0, -1]].reshape(-1, 3), axis=0)
    first = (side - small) // 2
    canvas[first : first + small, first : first + small] = cv2.resize(
        crop, (small, small), interpolation=cv2.INTER_AREA
    )
    return canvas


def _radius(row: dict) -> float:  # type: ignore[type-arg]
    """Largest radius, crop pixels, at which the crests' circle in the face's plane is seen."""
    to_crop = np.vstack([np.array(row["crop_matrix"]), (0.0, 0.0, 1.0)]) @ np.array(row["projection"])
    turn = np.linspace(0.0, 2 * np.pi, 90, endpoint=False)
    r = row["truth"]["major_diameter_mm"] / 2
    seen = to_crop @ np.stack([r * np.cos(turn), r * np.sin(turn), 0 * turn, 1 + 0 * turn])
    points = seen[:2] / seen[2]
    return float(np.hypot(*(points - points.mean(axis=1, keepdims=True))).max())


def true_profile(picture: EndPicture) -> NDArray[np.float64] | None:
    """Profile ``(6, 96)`` at the true radius about the middle that the view room finds; None where it finds none."""
    circle = find_middle(picture.pixels, picture.parts)
    if circle is None:
        return None
    rings = unroll(
        softened(picture.pixels, picture.radius), picture.parts, (circle.col, circle.row), picture.radius,
        picture.radius * np.exp(STEP),
    )  # fmt: skip
    return profile_at(rings, 0)


def main(arguments: Sequence[str] | None = None) -> None:
    """Run the command."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument(
        "--check", type=Path, help="another set, on which the radius is compared with the truth"
    )
    args = parser.parse_args(arguments)
    found = [p for picture in end_pictures(args.folder) if (p := true_profile(picture)) is not None]
    stacked = np.stack(found)
    stored = {
        "made_of": f"{len(found)} end views of {args.folder.name}",
        "mean": stacked.mean(axis=0).round(4).tolist(),
        "spread": np.maximum(stacked.std(axis=0), LEAST_SPREAD).round(4).tolist(),
    }
    FILE.write_text(json.dumps(stored) + "\n", encoding="utf-8")
    if args.check:
        circles = [(find_circle(p.pixels, p.parts), p.radius) for p in end_pictures(args.check)]
        ratio = np.array([c.diameter / 2 / r for c, r in circles if isinstance(c, EndCircle)])
        near = [f"{np.mean(np.abs(ratio - 1) < limit):.0%} within {limit:.0%}" for limit in (0.04, 0.1)]
        print(f"{len(ratio)} end views of {args.check.name}: {', '.join(near)}")  # noqa: T201


if __name__ == "__main__":
    main()
