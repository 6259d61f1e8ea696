"""Canonical crops and close-ups with their truth, from a render folder: ``truth.jsonl`` (or ``.jsonl.gz``) beside ``crops/``."""

import gzip
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray
from pydantic import BaseModel, ConfigDict, ValidationError

from plugsight.training.visible_damage import visible_damage
from plugsight.view.record import ViewKind
from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.errors import InputError

BLACK = 6
"""Mean grey below which a crop is a render that failed."""


class _Label(BaseModel):
    model_config = ConfigDict(extra="ignore", frozen=True)
    dominant: Deposit
    second: Deposit | None = None
    severity_score: float


class _State(BaseModel):
    model_config = ConfigDict(extra="ignore", frozen=True)
    damage: list[tuple[Damage, float]] = []


class Truth(BaseModel):
    """What a line of the truth says, as far as it is used here."""

    model_config = ConfigDict(extra="ignore", frozen=True)
    name: str
    family: str
    seed: int
    plug: int
    kind: str
    label: _Label | None = None
    truth: _State = _State()
    crop_px_per_mm: float | None = None
    damage_cells: dict[Damage, int] = {}
    deposit_cells: dict[Deposit, int] = {}
    nose_cells: int = 0


@dataclass(frozen=True, slots=True, eq=False)
class CropTruth:
    """One crop ``(320, 320, 3)`` uint8 sRGB, what is true of its plug, and the damage that this picture shows.

    ``shares`` of the nose's visible surface in this picture that each deposit covers, 0..1.
    """

    name: str
    family: str
    plug: str
    kind: ViewKind
    deposit: Deposit
    second: Deposit | None
    severity: float
    damage: frozenset[Damage]
    shares: Mapping[Deposit, float]
    px_per_mm: float | None
    crop: NDArray[np.uint8]
    closeup: NDArray[np.uint8] | None
    """The tip finer, ``(320, 320, 3)`` uint8 sRGB; None where the set has no close-ups."""


def read_crops(folder: Path) -> Iterator[CropTruth]:
    """Yield every labelled crop of a render folder; pictures without a plug or a label, and failed ones, are passed over.

    Raises
    ------
    InputError
        Where the truth is missing or a row of it can't be read, naming the line.

    """
    rows = {row.name: row for row in truth_rows(folder)}
    for name, data in _pictures(folder):
        row = rows.get(name)
        if row is None or row.label is None or row.kind not in set(ViewKind):
            continue
        pixels = _decoded(data, f"{folder}: {name}")
        closer = folder / "closeups" / f"{name}.webp"
        if pixels.mean() < BLACK:
            continue
        yield CropTruth(
            name=name,
            family=row.family,
            plug=f"{row.family}-{row.seed}-{row.plug}",
            kind=ViewKind(row.kind),
            deposit=row.label.dominant,
            second=row.label.second,
            severity=row.label.severity_score,
            damage=frozenset(visible_damage(row.truth.damage, row.damage_cells)),
            shares={d: n / row.nose_cells for d, n in row.deposit_cells.items()} if row.nose_cells else {},
            px_per_mm=row.crop_px_per_mm,
            crop=pixels,
            closeup=_decoded(closer.read_bytes(), str(closer)) if closer.exists() else None,
        )


def _decoded(data: bytes, where: str) -> NDArray[np.uint8]:
    pixels = cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_COLOR)
    if pixels is None:
        raise InputError(where, "the picture can't be read", "Make the renders again.")
    return np.asarray(cv2.cvtColor(pixels, cv2.COLOR_BGR2RGB), np.uint8)


def truth_rows(folder: Path) -> Iterator[Truth]:
    """Yield what is true of each picture of a render folder; ``InputError`` as ``read_crops``."""
    plain, packed = folder / "truth.jsonl", folder / "truth.jsonl.gz"
    if not plain.exists() and not packed.exists():
        raise InputError(
            str(folder), "there is no truth.jsonl in it", "Name a folder that the render command made."
        )
    text = plain.read_bytes() if plain.exists() else gzip.decompress(packed.read_bytes())
    for number, line in enumerate(text.splitlines(), 1):
        try:
            yield Truth.model_validate_json(line)
        except ValidationError as error:
            where = f"{folder}: truth, line {number}"
            raise InputError(where, error.errors()[0]["msg"], "Make the renders again.") from error


def _pictures(folder: Path) -> Iterator[tuple[str, bytes]]:
    # The render command writes JPEG, the pack command WebP.
    found = sorted(path for path in (folder / "crops").glob("*") if path.suffix in {".jpg", ".webp"})
    if not found:
        raise InputError(
            str(folder), "there are no crops in it", "Name a folder that the render or pack command made."
        )
    for path in found:
        yield path.stem, path.read_bytes()
