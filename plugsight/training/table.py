"""The feature table: one row a view, with the truth a person or a renderer gave. Plain arrays, no pickle.

``FORMAT`` numbers the file's layout. Raise it when an array is removed, renamed or changes its meaning.
"""

import io
import zipfile
import zlib
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from plugsight.durable import write_whole
from plugsight.features.catalogue import catalogue_digest
from plugsight.vocabulary.errors import InputError

FORMAT = 1
LIMIT_UNFOLDED = 512 * 2**20
"""Bytes: 100,000 views of 200 features are 80 MB."""
ROWS = ("values", "kind", "plug", "group", "split", "deposit", "second", "severity", "damage")
"""Arrays with one entry a view."""


@dataclass(frozen=True, slots=True, eq=False)
class FeatureTable:
    """Rows of views; every array has the same first length ``n``.

    ``values`` ``(n, names)`` float32, NaN where not measured. ``kind``, ``plug``, ``group`` (what may not be split:
    the plug's design, or a real engine), ``split``, ``deposit`` and ``second`` (also right, or empty) are text.
    ``severity`` 0..1. ``damage`` ``(n, damages)`` bool in the order of ``damages``.
    """

    names: tuple[str, ...]
    damages: tuple[str, ...]
    values: NDArray[np.float32]
    kind: NDArray[np.str_]
    plug: NDArray[np.str_]
    group: NDArray[np.str_]
    split: NDArray[np.str_]
    deposit: NDArray[np.str_]
    second: NDArray[np.str_]
    severity: NDArray[np.float32]
    damage: NDArray[np.bool_]
    catalogue: str

    def __len__(self) -> int:
        """Number of views."""
        return len(self.values)

    def where(self, keep: NDArray[np.bool_]) -> "FeatureTable":
        """Return the rows in ``keep`` ``(n,)``."""
        return replace(self, **{name: getattr(self, name)[keep] for name in ROWS})


def joined(*tables: FeatureTable) -> FeatureTable:
    """Put tables of the same features and damages behind one another."""
    rows: dict[str, Any] = {name: np.concatenate([getattr(one, name) for one in tables]) for name in ROWS}
    return replace(tables[0], **rows)


def write_table(table: FeatureTable, path: Path) -> None:
    """Write the table: whole or not at all."""
    out = io.BytesIO()
    np.savez_compressed(
        out,
        format=np.int64(FORMAT),
        names=np.array(table.names),
        damages=np.array(table.damages),
        values=table.values,
        kind=table.kind,
        plug=table.plug,
        group=table.group,
        split=table.split,
        deposit=table.deposit,
        second=table.second,
        severity=table.severity,
        damage=table.damage,
        catalogue=np.array(table.catalogue),
    )
    write_whole(path, out.getvalue())


def read_table(path: Path) -> FeatureTable:
    """Read a table.

    Raises
    ------
    InputError
        Where the file is missing or unreadable, of a newer format, or made with another feature catalogue.

    """
    where, remedy = f"feature table {path.name}", "Make it again: plugsight table."
    try:
        _bounded(path)
        with path.open("rb") as file, np.load(file, allow_pickle=False) as stored:
            part = {name: stored[name] for name in stored.files}
        if int(part.pop("format", -1)) != FORMAT:
            raise InputError(where, f"the table's format is not {FORMAT}", remedy)
        catalogue = str(part.pop("catalogue"))
        names, damages = (tuple(map(str, part.pop(key))) for key in ("names", "damages"))
        table = FeatureTable(names, damages, catalogue=catalogue, **part)
        _check_shapes(table)
    except (
        OSError,
        ValueError,
        TypeError,
        KeyError,
        EOFError,
        zipfile.BadZipFile,
        zlib.error,
        RuntimeError,
    ) as error:
        raise InputError(where, "the table can't be read", remedy, type(error).__name__) from error
    if catalogue != catalogue_digest():
        raise InputError(where, "the table was made with another feature catalogue", remedy, catalogue[:12])
    return table


def _bounded(path: Path) -> None:
    with zipfile.ZipFile(path) as whole:
        if sum(one.file_size for one in whole.infolist()) > LIMIT_UNFOLDED:
            raise ValueError("a table that unfolds to more than any")


def _check_shapes(table: FeatureTable) -> None:
    """``ValueError`` where rows are missing or of another kind than they must be."""
    n = len(table.values)
    wide = {"values": (n, len(table.names)), "damage": (n, len(table.damages))}
    kinds = {"values": "f", "severity": "f", "damage": "b"}
    for name in ROWS:
        array = getattr(table, name)
        if not isinstance(array, np.ndarray):  # what has no array's head comes back as bytes
            raise TypeError(f"{name} is no array")
        if array.shape != wide.get(name, (n,)) or array.dtype.kind != kinds.get(name, "U"):
            raise ValueError(f"{name} has another form")
