"""One plug from seed to files: build it, photograph it once to three times, and write pictures, masks, crops and truth.

Everything follows from ``(seed, number)``; the same pair gives the same plug, views, bench and truth on one machine.
"""

import json
import time
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

import cv2
import numpy as np

from plugsight.synthetic.bench_setting import draw_setting
from plugsight.synthetic.build import build_plug
from plugsight.synthetic.built_plug import BuiltPlug, PartMesh
from plugsight.synthetic.canonical_crop import QUALITY
from plugsight.synthetic.design import Family, draw_design
from plugsight.synthetic.draw_state import draw_state
from plugsight.synthetic.draw_view import Extent, draw_viewpoint
from plugsight.synthetic.label import ViewShares, label_of
from plugsight.synthetic.near_miss import NEAR_MISSES, near_miss
from plugsight.synthetic.phone_camera import draw_camera, jpeg
from plugsight.synthetic.photograph import Photograph, photograph
from plugsight.synthetic.plug_scene import PlugScene
from plugsight.synthetic.viewpoint import Viewpoint, camera_of
from plugsight.vocabulary.deposits import Deposit

GENERATOR = 3
"""Raised whenever the same seed would give another picture or truth. 2: grime smears, only threads are rubbed bright. 3: the
shift family is one shop, with tones and phones of its own; the other families are as in 2."""
CARD_LABEL = 6
"""Value of unbroken grey card in the masks of photos; crops' masks have 0 there."""
_SALT = {"train": 101, "calibration": 211, "test": 307, "shift": 401, "nothing": 503}


@dataclass(frozen=True, slots=True)
class Recipe:
    """What a set of renders is made of; kept beside the pictures."""

    family: str
    """``train``, ``calibration``, ``test``, ``shift``, or ``nothing``: pictures without a plug."""
    seed: int
    size: int
    """Pixels a side of the photo."""
    spp: int
    views: str = "mixed"
    """``mixed``: one to three, one of them oblique or end-on, so that the nose is seen; ``side``: one careful side view; or ``oblique``, ``end``, or several joined by commas."""
    careful: float = 0.5
    keep_photos: bool = True
    """Write the full-size photos and masks, not only crops."""
    roomy: bool = False
    """Frame the photos so that they hold the whole canonical crop."""
    wide: float = 0.25
    """Share of photos framed so that hexagon and outer insulator show."""
    quality_cap: int = 100
    """Highest JPEG quality: keeps a frozen set small."""


def _path(folder: Path, kind: str, name: str, ending: str) -> Path:
    at = folder / kind
    at.mkdir(parents=True, exist_ok=True)
    return at / f"{name}.{ending}"


def _views(rng: np.random.Generator, recipe: Recipe) -> list[str]:
    if recipe.views != "mixed":
        return recipe.views.split(",")
    first = str(rng.choice(["oblique", "end"], p=[0.75, 0.25]))
    more = [str(k) for k in rng.permutation(["side", "oblique", "end"])]
    return [first, *more[: int(rng.choice([0, 1, 2], p=[0.8, 0.17, 0.03]))]]


def run_job(scene: PlugScene, folder: Path, recipe: Recipe, number: int) -> list[dict[str, Any]]:
    """Make all pictures of one plug (or of one picture without a plug) and return their truth, one entry a picture."""
    rng = np.random.default_rng([recipe.seed, _SALT[recipe.family], number])
    if recipe.family == "nothing":
        return [_without_plug(scene, folder, recipe, number, rng)]
    family: Family = recipe.family  # type: ignore[assignment]
    design = draw_design(rng, family)
    state = draw_state(rng, palette="shift" if family == "shift" else "usual")
    plug = build_plug(design, state, int(rng.integers(2**31)))
    low, high = (np.array(p) for p in plug.truth.gap_points_mm)
    middle = (low + high) / 2
    extent = Extent(
        plug.truth.major_diameter_mm,
        plug.truth.highest_z_mm,
        plug.truth.lowest_z_mm,
        (float(middle[0]), float(middle[1]), float(middle[2])),
    )
    rows = []
    clock = time.perf_counter()
    for index, kind in enumerate(_views(rng, recipe)):
        careful = bool(rng.random() < recipe.careful)
        view = draw_viewpoint(
            rng, kind, extent, recipe.size, careful=float(careful), wide=recipe.wide, roomy=recipe.roomy
        )
        photo = _shoot(scene, rng, family, view, plug, careful, recipe)
        name = f"{number:06d}_{index}"
        row = _row(name, recipe, number, index, photo, careful) | _plug_row(plug, photo)
        _write(folder, name, recipe, photo)
        rows.append(row | {"seconds": time.perf_counter() - clock})
        clock = time.perf_counter()
    label = _label(plug, rows)
    return [row | {"label": label} for row in rows]


def _label(plug: BuiltPlug, rows: list[dict[str, Any]]) -> dict[str, Any] | None:
    """Apply the label rule to what all views show; ``None`` where the nose is seen in none."""
    views = [
        ViewShares(
            row["nose_cells"],
            tuple((Deposit(k), v / max(row["nose_cells"], 1)) for k, v in row["deposit_cells"].items()),
        )
        for row in rows
    ]
    found = label_of(views, plug.state.layers)
    if found is None:
        return None
    return {
        "dominant": str(found.dominant),
        "second": str(found.second) if found.second else None,
        "share": found.share,
        "severity": str(found.severity),
        "severity_score": found.severity_score,
    }


def _shoot(
    scene: PlugScene,
    rng: np.random.Generator,
    family: str,
    view: Viewpoint,
    plug: BuiltPlug,
    careful: bool,
    recipe: Recipe,
) -> Photograph:
    camera = camera_of(view)
    setting, words = draw_setting(rng, family, view, camera, plug.parts, careful)
    phone = draw_camera(rng, family, words.kelvin, careful)
    major = plug.truth.major_diameter_mm
    return photograph(scene, setting, words, view, camera, phone, recipe.spp, int(rng.integers(2**31)), major)


def _without_plug(
    scene: PlugScene, folder: Path, recipe: Recipe, number: int, rng: np.random.Generator
) -> dict[str, Any]:
    """An empty bench, or something that might pass for a plug."""
    kind = str(rng.choice(["empty", *NEAR_MISSES]))
    if kind == "empty":
        parts: tuple[PartMesh, ...] = ()
        width, high, low = 14.0, 4.0, -30.0
    else:
        mesh, width, high, low = near_miss(rng, kind)
        parts = (mesh,)
    extent = Extent(max(width, 8.0), high, low, (0.0, 0.0, high - 2.0))
    view = draw_viewpoint(
        rng, str(rng.choice(["side", "oblique", "end"], p=[0.8, 0.17, 0.03])), extent, recipe.size, 0.5
    )
    camera = camera_of(view)
    family = str(rng.choice(["train", "test"]))
    setting, words = draw_setting(rng, family, view, camera, parts, bool(rng.random() < 0.5))
    phone = draw_camera(rng, family, words.kelvin, careful=False)
    photo = photograph(scene, setting, words, view, camera, phone, recipe.spp, int(rng.integers(2**31)), None)
    name = f"{number:06d}_0"
    _write(folder, name, recipe, photo)
    return _row(name, recipe, number, 0, photo, careful=False) | {"object": kind}


def _write(folder: Path, name: str, recipe: Recipe, photo: Photograph) -> None:
    if recipe.keep_photos:
        _path(folder, "images", name, "jpg").write_bytes(
            jpeg(photo.picture, min(photo.phone.quality, recipe.quality_cap))
        )
        mask = np.where((photo.mask == 0) & photo.pixels.card, np.uint8(CARD_LABEL), photo.mask)
        cv2.imwrite(str(_path(folder, "masks", name, "png")), mask, [cv2.IMWRITE_PNG_COMPRESSION, 9])
    if photo.crop is not None:
        _path(folder, "crops", name, "jpg").write_bytes(jpeg(photo.crop.picture, QUALITY))
        cv2.imwrite(
            str(_path(folder, "crop_masks", name, "png")), photo.crop.mask, [cv2.IMWRITE_PNG_COMPRESSION, 9]
        )


def _row(
    name: str, recipe: Recipe, number: int, index: int, photo: Photograph, careful: bool
) -> dict[str, Any]:
    """Truth of the picture: pose, light, bench, phone."""
    view, camera, words = photo.view, photo.camera, photo.words
    gap, face = camera.project(np.array([view.gap_mm, (0.0, 0.0, 0.0)]))
    ends = camera.project(np.array([[0, 0, 2.0], [0, 0, -2.0]]))
    lens = camera.position
    row: dict[str, Any] = {
        "name": name,
        "generator": GENERATOR,
        "family": recipe.family,
        "seed": recipe.seed,
        "plug": number,
        "view": index,
        "size_px": view.size_px,
        "careful": careful,
        "kind": view.kind,
        "tilt_deg": view.tilt_deg,
        "tilt_at_face_deg": float(np.degrees(np.arcsin(lens[2] / np.linalg.norm(lens)))),
        "azimuth_deg": view.azimuth_deg,
        "strap_off_profile_deg": view.strap_off_profile_deg,
        "strap_side": view.strap_side,
        "roll_deg": view.roll_deg,
        "axis_in_picture_deg": float(
            np.degrees(np.arctan2(*(ends[0, :2] - ends[1, :2]) * np.array([1, -1])))
        ),
        "distance_mm": view.distance_mm,
        "frame_mm": view.frame_mm,
        "px_per_mm_gap": float(camera.focal_px / gap[2]),
        "px_per_mm_face": float(camera.focal_px / face[2]),
        "gap_px": [float(gap[0]), float(gap[1])],
        "face_px": [float(face[0]), float(face[1])],
        "aperture_mm": view.aperture_mm,
        "focus_error_mm": view.focus_error_mm,
        "projection": [[float(v) for v in line] for line in camera.matrix],
        "card_share": photo.card_share,
        "neutral_by": photo.neutral_by,
    }
    row |= {f"setting_{k}": v for k, v in asdict(words).items()}
    row |= {f"phone_{k}": v for k, v in asdict(photo.phone).items()}
    return row


def _plug_row(plug: BuiltPlug, photo: Photograph) -> dict[str, Any]:
    """Truth of the plug, and what of it this picture shows."""
    pixels, crop = photo.pixels, photo.crop
    if crop is None:
        return {}
    return {
        "truth": json.loads(json.dumps(asdict(plug.truth), default=str)),
        "design": asdict(plug.design),
        "state": json.loads(json.dumps(asdict(plug.state), default=str)),
        "nose_cells": pixels.nose_pixels(),
        "deposit_cells": {str(k): v for k, v in pixels.deposit_pixels().items()},
        "damage_cells": {str(k): v for k, v in pixels.damage_pixels().items()},
        "part_px": [int(v) for v in np.bincount(photo.mask.ravel(), minlength=6)[:6]],
        "crop_matrix": [[float(v) for v in line] for line in crop.matrix],
        "crop_px_per_mm": crop.px_per_mm,
        "crop_gains": list(crop.gains),
        "crop_outside": float((crop.mask == 255).mean()),
    }
