"""Labelled set out and in, and the model, from the page: refused with a reason where something is missing."""

from pathlib import Path
from types import SimpleNamespace

import pytest
from streamlit.testing.v1 import AppTest

from plugsight.page import learning, model_view, session
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.engine import Place
from plugsight.vocabulary.errors import InputError

SCRIPT = Path(session.__file__).with_name("script.py")


@pytest.fixture
def model(monkeypatch, tmp_path):
    """A model in use and empty folders of the shop's own."""
    monkeypatch.setenv("PLUGSIGHT_LABELS", str(tmp_path / "labels"))
    monkeypatch.setenv("PLUGSIGHT_MODELS", str(tmp_path / "models"))
    monkeypatch.setattr(
        model_view, "load_model", lambda _: SimpleNamespace(digest="ab" * 32, trained="on renders")
    )

    def open_view() -> AppTest:
        app = AppTest.from_file(str(SCRIPT), default_timeout=60)
        app.query_params["v"] = "model"
        return app.run()

    return open_view


@pytest.mark.usefixtures("book")
def test_the_model_in_use_is_named(model, words):
    assert "abababababab" in words(model())


@pytest.mark.usefixtures("book")
def test_photos_stay_here_without_licence_and_consent(model):
    app = model()
    app.button(key="make-set").click().run()
    assert "licence" in app.error[0].value
    assert not app.get("download_button")


def test_confirmed_photos_go_out_as_a_set(photographed, model):
    photographed.book.decide(photographed.now(), Place(1), [Deposit.LIGHT], who="R. Vale")
    app = model()
    app.text_input[0].set_value("own use only")
    app.text_input[1].set_value("asked at the counter")
    app.button(key="make-set").click().run()
    assert not app.error
    assert len(app.get("download_button")) == 1


@pytest.mark.usefixtures("book")
def test_going_back_from_the_shipped_model_says_there_is_nothing_before_it(model):
    app = model()
    app.button(key="back").click().run()
    assert "nothing to go back to" in app.error[0].value


def test_nothing_is_learnt_without_confirmed_photos(monkeypatch, tmp_path):
    monkeypatch.setenv("PLUGSIGHT_LABELS", str(tmp_path / "labels"))
    with pytest.raises(InputError, match="none to compare on"):
        learning._learn(b"", lambda _: None)
