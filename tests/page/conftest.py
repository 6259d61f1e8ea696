"""The page on a store of its own, without a browser: Streamlit's own test driver runs the script."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest
from streamlit.testing.v1 import AppTest

from plugsight import flow
from plugsight.casebook import Casebook
from plugsight.page import session
from plugsight.suggestion import Chance, Reason, Splitter, Suggestion
from plugsight.vocabulary.bench import BenchQuestion
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.engine import EngineFacts, Fuel, Place, PlugSpec

SCRIPT = Path(session.__file__).with_name("script.py")
PHOTO = Path(session.__file__).parents[1] / "cli" / "demo" / "photos" / "1_side.jpg"


def suggestion_of(*members: Deposit) -> Suggestion:
    """A suggestion as the model would hand it over; the page must show it, not make it."""
    return Suggestion(
        members=members,
        coverage=0.95,
        chances=tuple(Chance(deposit, 0.5) for deposit in members),
        damage=(),
        why=(Reason("nose_lightness", 56.0, "nose lightness L* 56"),),
        split_by=(Splitter(BenchQuestion.WIPE, "soot smears dry, oil smears shiny"),)
        if len(members) > 1
        else (),
        severity=None,
        model_digest="ab" * 32,
        prior="even",
    )


@dataclass
class Page:
    """The page as one person has it open."""

    book: Casebook
    inspection: str

    def open(self, view: str, place: Place | None = None, *, person: str = "R. Vale") -> AppTest:
        app = AppTest.from_file(str(SCRIPT), default_timeout=60)
        app.query_params.update({"i": self.inspection, "v": view, "by": person})
        if place is not None:
            app.query_params["c"] = str(place.cylinder)
        app.run()
        assert not app.exception, app.exception
        return app

    def now(self) -> flow.Inspection:
        return self.book.load(self.inspection)


@pytest.fixture
def book(tmp_path, monkeypatch) -> Casebook:
    monkeypatch.setenv(session.STORE_VARIABLE, str(tmp_path / "store"))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    # Streamlit's test driver has no network address of its own
    monkeypatch.setattr("plugsight.page.guard.is_here", lambda _: True)
    yield session.casebook()
    session._store.clear()


@pytest.fixture
def page(book, monkeypatch) -> Page:
    # no plug of this inspection is decided blind, except where a test says so
    monkeypatch.setattr("plugsight.casebook.book.decides_blind", lambda *_: False)
    spec = PlugSpec("M14x1.25", gap_mm=(0.75, 0.85), resistor=True)
    return Page(book, book.start(EngineFacts("Invented two", 2, fuel=Fuel.PETROL), spec).id)


@pytest.fixture
def suggests(monkeypatch):
    """Let the model suggest what a test asks for: the page's own logic is what is tested here."""

    def set_to(*members: Deposit) -> None:
        monkeypatch.setattr(flow, "suggest", lambda *_: suggestion_of(*members))

    return set_to


@pytest.fixture(scope="session")
def one_look() -> flow.PhotoLook:
    """What the rooms before the page make of the demo photo; measured once, since it takes seconds."""
    return flow.look_at(PHOTO.name, PHOTO.read_bytes(), PlugSpec("M14x1.25", gap_mm=(0.75, 0.85)))


@pytest.fixture
def photographed(page, suggests, one_look, monkeypatch) -> Page:
    """Plug 1 has one photo, on which the model suggests a light deposit."""
    suggests(Deposit.LIGHT)
    monkeypatch.setattr("plugsight.casebook.book.look_at", lambda *_, **__: one_look)
    page.book.add_photo(page.now(), Place(1), "1_side.jpg", PHOTO.read_bytes())
    return page


def _words(app: AppTest) -> str:
    """Everything that stands on the screen as text."""
    kinds = (
        app.markdown,
        app.title,
        app.header,
        app.subheader,
        app.error,
        app.warning,
        app.info,
        app.success,
    )
    said = [str(element.value) for kind in kinds for element in kind]
    html = [str(element.proto.body) for element in app.get("html")]
    return "\n".join(said + html)


def _noise(rows: int = 600, cols: int = 800) -> np.ndarray:
    """A picture without a plug."""
    return np.random.default_rng(7).integers(0, 255, (rows, cols, 3), dtype=np.uint8)


@pytest.fixture
def words():
    return _words


@pytest.fixture
def noise():
    return _noise
