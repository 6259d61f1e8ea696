"""A promoted model is used at once, and going back is one step."""

import errno
from dataclasses import replace
from pathlib import Path

import pytest

from plugsight.segments.model_file import model_path
from plugsight.suggestion.active import IN_USE, active_folder, promote, roll_back
from plugsight.suggestion.model import DepositModel
from plugsight.suggestion.model_file import NAME, load_model, save_model
from plugsight.vocabulary.errors import InputError


@pytest.fixture(autouse=True)
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("PLUGSIGHT_MODELS", str(tmp_path / "shop"))
    return tmp_path / "shop"


def test_without_a_promotion_the_shipped_model_is_used() -> None:
    assert active_folder() == model_path()
    with pytest.raises(InputError, match="nothing to go back to"):
        roll_back()


def test_promoting_and_going_back(model: DepositModel, tmp_path: Path) -> None:
    first, second = (
        save_model(model, tmp_path / "a"),
        save_model(replace(model, temperature=2.0), tmp_path / "b"),
    )
    promote(tmp_path / "a")
    promote(tmp_path / "b")
    assert load_model(active_folder()).digest == second.digest
    assert roll_back() == first.digest
    assert load_model(active_folder()).digest == first.digest


def test_a_damaged_model_is_not_promoted(model: DepositModel, tmp_path: Path, shop: Path) -> None:
    save_model(model, tmp_path / "a")
    (tmp_path / "a" / NAME).write_bytes(b"rubbish")
    with pytest.raises(InputError, match="changed or damaged"):
        promote(tmp_path / "a")
    assert not (shop / IN_USE).exists()


@pytest.mark.parametrize("text", ["{", '["../../outside"]', '{"a": 1}'])
def test_a_damaged_list_is_said(text: str, shop: Path) -> None:
    shop.mkdir()
    (shop / IN_USE).write_text(text)
    with pytest.raises(InputError, match="Delete it to use the shipped model"):
        active_folder()


def test_a_full_disk_leaves_the_model_in_use_as_it_was(
    model: DepositModel, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = save_model(model, tmp_path / "a")
    promote(tmp_path / "a")

    def full(*_args: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as patched:
        patched.setattr("os.fsync", full)
        with pytest.raises(InputError, match=r"No space left on device.*has not changed"):
            promote(tmp_path / "a")
    assert load_model(active_folder()).digest == first.digest
    assert not [p for p in active_folder().iterdir() if p.name.startswith(".")]
