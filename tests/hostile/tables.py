"""Hostile feature tables: damaged from outside and inside, arrays missing, bent or of other types, bombs."""

import io
import random
import zipfile
from collections.abc import Callable
from pathlib import Path

import numpy as np
from mutate import mutated_bytes

from plugsight.features.catalogue import catalogue_digest
from plugsight.training.table import FeatureTable, read_table, write_table

GOOD: dict[str, bytes] = {}


def _good(folder: Path) -> bytes:
    words = np.array(["side", "end"] * 4)
    table = FeatureTable(
        names=("a", "b"),
        damages=("worn electrodes",),
        values=np.zeros((8, 2), np.float32),
        kind=words,
        plug=words,
        group=words,
        split=words,
        deposit=words,
        second=words,
        severity=np.zeros(8, np.float32),
        damage=np.zeros((8, 1), np.bool_),
        catalogue=catalogue_digest(),
    )
    write_table(table, folder / "good.npz")
    return (folder / "good.npz").read_bytes()


def _bent(raw: bytes, chance: random.Random) -> bytes:
    with np.load(io.BytesIO(raw)) as stored:
        arrays = {name: stored[name] for name in stored.files}
    name = chance.choice([*arrays])
    match chance.randrange(5):
        case 0:
            del arrays[name]
        case 1:
            arrays[name] = np.atleast_1d(arrays[name])[:1]
        case 2:
            arrays[name] = np.atleast_1d(arrays[name]).astype("U3")
        case 3:
            arrays["more"] = np.zeros(3)
        case _:
            arrays[name] = np.array([{"a": 1}], dtype=object)
    out = io.BytesIO()
    np.savez_compressed(out, **arrays)
    return out.getvalue()


def attack(number: int, chance: random.Random, target: Path) -> Callable[[], object]:
    """Read one hostile table."""
    if not GOOD:
        GOOD["table"] = _good(target)
    raw = GOOD["table"]
    if number % 3 == 1:
        raw = _bent(raw, chance)
    elif number:
        raw = mutated_bytes(raw, chance)
    if number % 50 == 49:
        out = io.BytesIO()
        with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as made:
            for n in range(12):
                made.writestr(f"{n}.npy", bytes(60 * 2**20))
        raw = out.getvalue()
    path = target / "table.npz"
    path.write_bytes(raw)
    return lambda: read_table(path)
