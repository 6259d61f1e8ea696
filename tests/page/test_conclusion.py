"""From decisions to causes, verdicts, report and outcome."""

import json

import pytest

from plugsight.page.session import casebook
from plugsight.readings import ReadingEntry, ReadingKind
from plugsight.vocabulary.bench import BenchFinding, BenchQuestion
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.engine import Place


@pytest.fixture
def decided(page):
    """Plug 1 light and sound, plug 2 sooted."""
    book = casebook()
    book.decide(page.now(), Place(1), [Deposit.LIGHT], who="R. Vale")
    book.decide(page.now(), Place(2), [Deposit.DRY_CARBON], who="R. Vale")
    for place in (Place(1), Place(2)):
        book.read(page.now(), ReadingEntry(place, ReadingKind.GAUGE, "0.80"))
    book.answer(page.now(), Place(1), BenchFinding(BenchQuestion.LENS, "no crack"))
    return page


@pytest.mark.parametrize("view", ["causes", "verdicts", "report"])
def test_undecided_plugs_are_named_with_the_way_to_them(page, view):
    app = page.open(view)
    assert [button.label for button in app.button if button.label.startswith("Plug ")] == ["Plug 1", "Plug 2"]
    assert not app.get("download_button")


def test_causes_come_with_evidence_and_no_percentages(decided, words):
    app = decided.open("causes")
    said = words(app)
    assert "What the set points to" in said
    assert "Speaks for" in said
    assert "Dry carbon on plug 2" in said


def test_an_outcome_touched_is_evidence(decided):
    app = decided.open("causes")
    before = [button.key for button in app.button if button.key and button.key.startswith("outcome-")]
    assert before
    app.button(key=before[0]).click().run()
    (kept,) = decided.now().outcomes
    assert before[0] == f"outcome-{kept.check}-{kept.cylinder}-{kept.outcome}"
    assert not app.exception


def test_verdicts_say_what_is_still_to_look_at(decided, words):
    said = words(decided.open("verdicts"))
    assert "look at" in said
    assert "refit" in said or "not decided" in said


def test_report_is_offered_in_three_forms(decided):
    app = decided.open("report")
    assert len(app.get("download_button")) == 3


def test_shop_is_kept_for_the_machine(decided, tmp_path):
    app = decided.open("report")
    app.text_input[0].set_value("Workshop by the Weir")
    app.button(key="keep-shop").click().run()
    kept = json.loads((tmp_path / "config" / "plugsight" / "shop.json").read_text())
    assert kept["name"] == "Workshop by the Weir"


def test_outcome_is_kept_with_name_and_time(decided):
    app = decided.open("outcome")
    app.text_input[0].set_value("coil of cylinder 2 renewed")
    app.pills[0].set_value("yes")
    next(b for b in app.button if b.label == "Keep the outcome").click().run()
    (repair,) = decided.now().repairs
    assert (repair.repaired, repair.complaint_gone, repair.finding_gone) == (
        "coil of cylinder 2 renewed",
        True,
        None,
    )
    assert repair.who == "R. Vale"


def test_history_follows_the_gap(decided, words):
    said = words(decided.open("history"))
    assert "plug 1: 0.80" in said
    assert "dry carbon" in said


def test_two_inspections_do_not_mix(decided):
    other = casebook().start(decided.now().engine, decided.now().spec)
    app = decided.open("plug", Place(1))
    app.text_input(key="read-RESISTANCE-1-1-False").set_value("5k").run()
    assert casebook().load(other.id).plug(Place(1)).entries == ()
