"""The shipped networks are the ones their card names, and nothing else is loaded."""

import hashlib
import json

import pytest

from plugsight.segments import model_file
from plugsight.vocabulary.errors import PlugsightError


@pytest.fixture
def a_model(tmp_path, monkeypatch):
    data = b"not a network, but bytes with a digest"
    (tmp_path / "parts.onnx").write_bytes(data)
    card = {"format": model_file.FORMAT, "sha256": {"parts.onnx": hashlib.sha256(data).hexdigest()}}
    (tmp_path / "parts.json").write_text(json.dumps(card))
    monkeypatch.setattr(model_file, "model_path", lambda: tmp_path)
    model_file.load_model_bytes.cache_clear()
    yield tmp_path
    model_file.load_model_bytes.cache_clear()


@pytest.mark.usefixtures("a_model")
def test_the_file_that_the_card_names_is_loaded() -> None:
    assert model_file.load_model_bytes("parts.onnx").startswith(b"not a network")


def test_one_changed_byte_is_refused_with_a_remedy(a_model) -> None:
    (a_model / "parts.onnx").write_bytes(b"Not a network, but bytes with a digest")
    with pytest.raises(PlugsightError, match="Install plugsight again"):
        model_file.load_model_bytes("parts.onnx")


def test_a_missing_network_and_another_format_are_refused(a_model) -> None:
    with pytest.raises(PlugsightError, match="missing"):
        model_file.load_model_bytes("tip.onnx")
    card = json.loads((a_model / "parts.json").read_text())
    (a_model / "parts.json").write_text(json.dumps(card | {"format": model_file.FORMAT + 1}))
    with pytest.raises(PlugsightError, match="another version"):
        model_file.load_model_bytes("parts.onnx")


def test_the_shipped_networks_agree_with_their_card() -> None:
    model_file.load_model_bytes.cache_clear()
    card = json.loads((model_file.model_path() / model_file.CARD).read_text())
    for name in card["sha256"]:
        assert model_file.load_model_bytes(name)
