"""From an empty store to the engine's own view; a known engine brings its figures along."""

from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from plugsight.page import session
from plugsight.vocabulary.engine import EngineFacts, PlugSpec

SCRIPT = str(Path(session.__file__).with_name("script.py"))


def _begin(name: str, person: str) -> AppTest:
    app = AppTest.from_file(SCRIPT, default_timeout=60).run()
    app.text_input[0].set_value(name)
    app.text_input[1].set_value(person)
    return app.button(key="FormSubmitter:start-Begin").click().run()


@pytest.mark.usefixtures("book")
def test_empty_store_offers_a_new_inspection(words):
    app = AppTest.from_file(SCRIPT, default_timeout=60).run()
    assert not app.exception
    assert "Carry on" not in words(app)
    assert "no accuracy on real photographs is known" in words(app)


def test_begin_goes_to_the_engine_and_keeps_the_name(book, words):
    app = _begin("Pump in the shed", "R. Vale")
    assert not app.exception
    assert app.query_params["v"] == "engine"
    assert app.query_params["by"] == "R. Vale"
    assert book.load(app.query_params["i"]).engine.name == "Pump in the shed"
    assert "Before unplugging anything" in words(app)


def test_a_nameless_engine_or_person_is_refused(book):
    app = _begin("", "")
    assert [error.value.split(":")[0] for error in app.error] == ["Engine", "Your name"]
    assert book.recent() == ()


def test_known_engine_brings_its_figures(book):
    book.start(EngineFacts("Pump", 4), PlugSpec("M14x1.25", gap_mm=(0.7, 0.8)))
    app = _begin("Pump", "R. Vale")
    assert book.load(app.query_params["i"]).spec.gap_mm == (0.7, 0.8)


@pytest.mark.usefixtures("book")
def test_unknown_inspection_says_so_and_leads_back():
    app = AppTest.from_file(SCRIPT, default_timeout=60)
    app.query_params.update({"i": "nosuchthing", "v": "plugs"})
    app.run()
    assert not app.exception
    assert len(app.error) == 1
    assert any("Begin" in button.label for button in app.button)
