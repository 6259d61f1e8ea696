"""Earlier inspections on the report: told in order, later ones and other lines left out."""

import pytest

from plugsight.casebook import Casebook
from plugsight.casebook.before import before
from plugsight.readings import ReadingEntry, ReadingKind
from plugsight.store import Store
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.engine import Context, EngineFacts, Place, PlugSpec
from plugsight.vocabulary.outcomes import RepairOutcome


@pytest.fixture
def three(tmp_path):
    """Three inspections of a single, the gap a little wider each time."""
    with Store.open(tmp_path / "store") as store:
        book = Casebook(store)
        for km, gap in ((10e3, "0.80"), (40e3, "0.83"), (70e3, "0.86")):
            one = book.start(
                EngineFacts("Invented one", 1), PlugSpec(gap_mm=(0.75, 0.95)), Context(odometer_km=km)
            )
            book.decide(one, Place(1), [Deposit.LIGHT], who="R. Vale")
            one = book.read(book.load(one.id), ReadingEntry(Place(1), ReadingKind.GAUGE, gap))
            if km == 10e3:
                book.repair(one, RepairOutcome("air filter renewed", complaint_gone=True))
        yield book.history("Invented one")


def test_a_first_inspection_has_nothing_before_it(three):
    assert before(three, three[0]) == ()


def test_earlier_inspections_and_the_wear_since(three):
    first, second, wear, how = before(three, three[2])
    assert first.endswith(", 10,000 km: plug 1 light; repaired: air filter renewed")
    assert second.endswith(", 40,000 km: plug 1 light")
    # 0.03 mm in 30,000 km
    assert wear.startswith("plug 1, gap: +0.0010 mm per 1,000 km")
    assert "95 % interval" in how


def test_what_came_later_is_left_out(three):
    first, wear, _ = before(three, three[1])
    assert ", 10,000 km:" in first
    assert "2 readings" in wear
