"""A model file is used only when it is whole, ours, and of this catalogue."""

import hashlib
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import skops.io as sio

from plugsight.suggestion.model import DepositModel
from plugsight.suggestion.model_file import NAME, load_model, save_model
from plugsight.training.plugs import matrix
from plugsight.training.table import FeatureTable
from plugsight.vocabulary.errors import InputError


def stamp(folder: Path) -> None:
    digest = hashlib.sha256((folder / NAME).read_bytes()).hexdigest()
    (folder / f"{NAME}.sha256").write_text(f"{digest}  {NAME}\n")


def test_it_says_the_same_after_loading(model: DepositModel, held_out: FeatureTable, tmp_path: Path) -> None:
    saved = save_model(model, tmp_path)
    back = load_model(tmp_path)
    assert back.digest == saved.digest != ""
    x = matrix(held_out)
    np.testing.assert_array_equal(back.estimator.predict_proba(x), model.estimator.predict_proba(x))
    assert {p.name for p in tmp_path.iterdir()} == {NAME, f"{NAME}.sha256"}


def test_a_missing_file_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="no model here"):
        load_model(tmp_path)


def test_a_changed_byte_is_refused(model: DepositModel, tmp_path: Path) -> None:
    save_model(model, tmp_path)
    data = bytearray((tmp_path / NAME).read_bytes())
    data[len(data) // 2] ^= 1
    (tmp_path / NAME).write_bytes(bytes(data))
    with pytest.raises(InputError, match="changed or damaged"):
        load_model(tmp_path)


def test_rubbish_with_a_right_digest_is_refused(tmp_path: Path) -> None:
    (tmp_path / NAME).write_bytes(b"not a model")
    stamp(tmp_path)
    with pytest.raises(InputError, match="can't be read as a model"):
        load_model(tmp_path)


class Foreign:
    """Stands for code somebody would like us to run."""


def test_foreign_types_are_refused(tmp_path: Path) -> None:
    (tmp_path / NAME).write_bytes(sio.dumps({"format": 1, "estimator": Foreign()}))
    stamp(tmp_path)
    with pytest.raises(InputError, match="types a model has no use for"):
        load_model(tmp_path)


def test_a_model_of_another_catalogue_is_refused(model: DepositModel, tmp_path: Path) -> None:
    save_model(replace(model, catalogue="0" * 64), tmp_path)
    with pytest.raises(InputError, match="another feature catalogue"):
        load_model(tmp_path)


def test_another_format_is_refused(tmp_path: Path) -> None:
    (tmp_path / NAME).write_bytes(sio.dumps({"format": 99}))
    stamp(tmp_path)
    with pytest.raises(InputError, match="format is not 1"):
        load_model(tmp_path)
