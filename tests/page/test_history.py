"""One engine over time: wear with its interval, two inspections side by side, outcomes that are still open."""

from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from plugsight.page import session
from plugsight.page.gap_history import gap_history
from plugsight.readings import ReadingEntry, ReadingKind
from plugsight.report.drawing import Label
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.engine import Context, EngineFacts, Place, PlugSpec
from plugsight.vocabulary.outcomes import RepairOutcome

SCRIPT = str(Path(session.__file__).with_name("script.py"))


@pytest.fixture
def followed(page):
    """One plug gauged at three mileages; the page shows the last inspection."""
    engine, spec = EngineFacts("Invented one", 1), PlugSpec(gap_mm=(0.75, 0.95))
    for km, gap in ((0.0, "0.80"), (30e3, "0.83"), (60e3, "0.86")):
        one = page.book.start(engine, spec, Context(odometer_km=km))
        page.book.decide(one, Place(1), [Deposit.LIGHT], who="R. Vale")
        page.book.read(page.book.load(one.id), ReadingEntry(Place(1), ReadingKind.GAUGE, gap))
        page.inspection = one.id
    return page


def test_wear_and_forecast_stand_with_their_intervals(followed, words):
    said = words(followed.open("history"))
    assert "+0.0010 mm per 1,000 km (" in said
    # 0.80 mm + 0.001 mm per 1,000 km reaches 0.95 mm at 150,000 km
    assert "Reaches 0.95 mm at about 150,000 km" in said
    assert "Widest allowed 0.95" in said


def test_two_inspections_can_be_chosen(followed, words):
    app = followed.open("history")
    assert "+0.03 mm" in words(app)
    first = app.selectbox[0].options[0]
    app.selectbox[0].select(first).run()
    assert "+0.06 mm: grown" in words(app)


def test_one_inspection_says_that_it_is_not_enough(page, words):
    said = words(page.open("history"))
    assert "Not enough inspections" in said
    assert "nothing to compare it with yet" in said


def test_an_open_outcome_is_offered_until_it_is_known(followed):
    def offered():
        app = AppTest.from_file(SCRIPT, default_timeout=60).run()
        return {b.key for b in app.button if b.key and b.key.startswith("waits-")}

    assert f"waits-{followed.inspection}" in offered()
    known = RepairOutcome("plugs renewed", complaint_gone=True, who="R. Vale")
    followed.book.repair(followed.now(), known)
    assert f"waits-{followed.inspection}" not in offered()


def test_names_stand_in_the_order_of_their_lines_and_clear_of_each_other(page):
    for place, gap in ((Place(1), "0.85"), (Place(2), "0.86")):
        page.book.read(page.now(), ReadingEntry(place, ReadingKind.GAUGE, gap))
    drawn = gap_history([page.now()])
    names = {s.text: s.y for s in drawn.shapes if isinstance(s, Label) and s.text.startswith("plug ")}
    assert names["plug 2"] + 2.8 <= names["plug 1"]  # the wider gap is drawn higher; 8 points are 2.8 mm
