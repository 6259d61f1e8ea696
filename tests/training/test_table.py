"""The feature table round-trips, and a stale or damaged one is refused."""

import zipfile
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from plugsight.training.table import FeatureTable, read_table, write_table
from plugsight.vocabulary.errors import InputError


def test_it_comes_back_as_written(train: FeatureTable, tmp_path: Path) -> None:
    write_table(train, tmp_path / "t.npz")
    back = read_table(tmp_path / "t.npz")
    np.testing.assert_array_equal(back.values, train.values)
    assert back.names == train.names
    assert list(back.deposit) == list(train.deposit)
    assert [p.name for p in tmp_path.iterdir()] == ["t.npz"]


def test_a_table_of_another_catalogue_is_refused(train: FeatureTable, tmp_path: Path) -> None:
    write_table(replace(train, catalogue="0" * 64), tmp_path / "t.npz")
    with pytest.raises(InputError, match="another feature catalogue"):
        read_table(tmp_path / "t.npz")


def test_a_damaged_table_is_refused(tmp_path: Path) -> None:
    (tmp_path / "t.npz").write_bytes(b"PK\x03\x04 no more")
    with pytest.raises(InputError, match="can't be read"):
        read_table(tmp_path / "t.npz")


@pytest.mark.parametrize(
    "change",
    [
        lambda arrays: arrays.pop("plug"),
        lambda arrays: arrays.update(more=np.zeros(2)),
        lambda arrays: arrays.update(deposit=arrays["deposit"][:1]),
        lambda arrays: arrays.update(values=arrays["values"].astype("U4")),
    ],
    ids=["missing", "foreign", "short", "of another type"],
)
def test_a_table_with_a_bent_array_is_refused(train: FeatureTable, tmp_path: Path, change: Callable) -> None:
    write_table(train, tmp_path / "t.npz")
    with np.load(tmp_path / "t.npz") as stored:
        arrays = {name: stored[name] for name in stored.files}
    change(arrays)
    np.savez_compressed(tmp_path / "t.npz", **arrays)
    with pytest.raises(InputError, match="can't be read"):
        read_table(tmp_path / "t.npz")


def test_a_part_that_is_no_array_is_refused(train: FeatureTable, tmp_path: Path) -> None:
    write_table(train, tmp_path / "t.npz")
    with zipfile.ZipFile(tmp_path / "t.npz") as whole, zipfile.ZipFile(tmp_path / "bad.npz", "w") as bad:
        for name in whole.namelist():
            bad.writestr(name, b"no array" if name == "plug.npy" else whole.read(name))
    with pytest.raises(InputError, match="can't be read"):
        read_table(tmp_path / "bad.npz")
