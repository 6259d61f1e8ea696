"""One plug: photos, the person's decision, bench answers, readings; each kept by one touch."""

from dataclasses import replace

import cv2
import pytest

from plugsight.confirmation import Decision
from plugsight.vocabulary.bench import BenchFinding, BenchQuestion
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.engine import Meter, Place
from plugsight.vocabulary.refusal import NotMeasured

ONE = Place(1)


def _button(app, start):
    return next(button for button in app.button if button.label.startswith(start))


def test_agreeing_takes_one_touch(photographed, words):
    app = photographed.open("plug", ONE)
    assert "nose lightness L* 56" in words(app).lower() or "Nose lightness L* 56" in words(app)
    _button(app, "Yes: light").click().run()
    decided = photographed.now().plug(ONE).confirmation
    assert decided.decision is Decision.ACCEPTED
    assert decided.who == "R. Vale"
    assert decided.shown.suggested == ("light",)


def test_correcting_takes_one_touch(photographed):
    app = photographed.open("plug", ONE)
    app.button(key="is-wet oil-1").click().run()
    decided = photographed.now().plug(ONE).confirmation
    assert decided.decision is Decision.CORRECTED
    assert decided.deposits == (Deposit.WET_OIL,)


def test_cant_tell_is_a_decision(photographed):
    app = photographed.open("plug", ONE)
    app.button(key="cant-1").click().run()
    assert photographed.now().plug(ONE).confirmation.decision is Decision.CANT_TELL


def test_damage_and_second_deposit_go_along(photographed):
    app = photographed.open("plug", ONE)
    app.pills(key="damage-1").set_value(["worn electrodes"]).run()
    app.pills(key="beside-1").set_value(["ash"]).run()
    app.button(key="is-light-1").click().run()
    decided = photographed.now().plug(ONE).confirmation
    assert decided.deposits == (Deposit.LIGHT, Deposit.ASH)
    assert decided.damage == ("worn electrodes",)


def test_a_blind_plug_shows_no_suggestion_before_it_is_decided(photographed, monkeypatch, words):
    monkeypatch.setattr("plugsight.casebook.book.decides_blind", lambda *_: True)
    app = photographed.open("plug", ONE)
    assert "suggests" not in words(app)
    assert not any(button.label.startswith("Yes:") for button in app.button)
    assert "by eye first" in words(app)
    app.button(key="is-light-1").click().run()
    decided = photographed.now().plug(ONE).confirmation
    assert decided.shown.blind
    assert decided.decision is Decision.DECIDED


def test_a_set_of_two_brings_the_test_that_parts_them(photographed, suggests, words):
    suggests(Deposit.DRY_CARBON, Deposit.WET_OIL)
    app = photographed.open("plug", ONE)
    assert "dry carbon or wet oil" in words(app)
    app.pills(key="split-wipe-1").set_value("dry soot").run()
    assert BenchFinding(BenchQuestion.WIPE, "dry soot") in photographed.now().plug(ONE).bench


def test_a_decision_without_a_name_is_refused(photographed):
    app = photographed.open("plug", ONE, person="")
    app.button(key="is-light-1").click().run()
    assert "name" in app.error[0].value
    assert not photographed.now().plug(ONE).confirmations


def test_a_changed_decision_keeps_the_earlier_one(photographed):
    app = photographed.open("plug", ONE)
    app.button(key="is-light-1").click().run()
    app.button(key="is-ash-1").click().run()
    assert [c.dominant for c in photographed.now().plug(ONE).confirmations] == [Deposit.LIGHT, Deposit.ASH]


def test_all_sound_answers_every_look_and_nothing_else(page):
    page.open("plug", ONE).button(key="sound-1").click().run()
    told = {found.question: found.answer for found in page.now().plug(ONE).bench}
    assert told == {
        BenchQuestion.LENS: "no crack",
        BenchQuestion.THREAD: "sound",
        BenchQuestion.SEAT: "sound",
        BenchQuestion.TERMINAL: "sound",
        BenchQuestion.OUTER_INSULATOR: "sound",
        BenchQuestion.DROPPED: "no",
        BenchQuestion.ELECTRODE_SQUARE: "yes",
    }


def test_readings_are_judged_as_they_are_written(page, words):
    app = page.open("plug", ONE)
    app.text_input(key="read-GAUGE-1-1-False").set_value("0.80").run()
    app.text_input(key="read-RESISTANCE-1-1-False").set_value("6.77k").run()
    app.pills(key="read-CONTINUITY-1-False").set_value("sounds").run()
    assert [entry.text for entry in page.now().plug(ONE).entries] == ["0.80", "6.77k", "sounds"]
    # 6.77 kOhm is usual for a resistor plug, no limit given (common practice, no source)
    assert "usual for a resistor plug" in words(app)


def test_the_range_to_set_stands_beside_each_reading(page, words):
    said = words(page.open("plug", ONE))
    # 4 to 8 kOhm expected: the 20 k range; insulation: the highest (common practice, no source)
    assert "Set the 20 kOhm range." in said
    assert "Set continuity, or the lowest ohm range." in said
    assert "Set the 20 MOhm range." in said
    page.book.set_facts(page.now(), meter=Meter(auto_ranging=True))
    assert words(page.open("plug", ONE)).count("Auto-ranging: nothing to set") == 2


def test_unreadable_reading_is_refused_and_not_kept(page):
    app = page.open("plug", ONE)
    app.text_input(key="read-GAUGE-1-1-False").set_value("wide").run()
    assert app.error
    assert page.now().plug(ONE).entries == ()


def test_readings_after_cleaning_are_kept_apart(page):
    app = page.open("plug", ONE)
    app.toggle(key="after-1").set_value(True).run()
    app.text_input(key="read-INSULATION-1-1-True").set_value("OL").run()
    (entry,) = page.now().plug(ONE).entries
    assert entry.after_cleaning


def test_a_wiped_plug_brings_the_warning(page, words):
    page.book.answer(page.now(), ONE, BenchFinding(BenchQuestion.WIPE, "dry soot"))
    app = page.open("plug", ONE)
    assert "no longer evidence" in words(app)


def test_a_photo_without_a_plug_says_what_is_wrong_and_how_to_retake(page, noise, words):
    ok, data = cv2.imencode(".jpg", noise())
    assert ok
    page.book.add_photo(page.now(), ONE, "bench.jpg", data.tobytes())
    app = page.open("plug", ONE)
    assert "Not measured" in words(app)
    assert "Retake" in words(app)


def test_a_photo_can_be_taken_out(photographed):
    app = photographed.open("plug", ONE)
    _button(app, "Take this photo out").click().run()
    assert photographed.now().plug(ONE).photos == ()


def test_a_plug_that_does_not_exist_shows_the_first(page):
    assert page.open("plug", Place(9)).header[0].value == "Plug 1"


@pytest.mark.parametrize(
    "view", ["engine", "plugs", "plug", "causes", "verdicts", "report", "outcome", "history", "help"]
)
def test_no_view_is_a_dead_end_on_an_empty_inspection(page, view):
    app = page.open(view)
    assert {"Engine", "Plugs", "Report"} <= {button.label for button in app.button}


def test_each_deposit_of_a_suggested_set_can_be_agreed_to(photographed, suggests):
    suggests(Deposit.DRY_CARBON, Deposit.WET_OIL)
    app = photographed.open("plug", ONE)
    assert _button(app, "Yes: dry carbon")
    _button(app, "Yes: wet oil").click().run()
    decided = photographed.now().plug(ONE).confirmation
    assert decided.decision is Decision.ACCEPTED
    assert decided.deposits == (Deposit.WET_OIL,)


@pytest.mark.parametrize("second", [True, False])
def test_a_photo_of_the_tip_is_not_blamed_for_a_gap_that_another_shows(
    photographed, one_look, monkeypatch, words, noise, second
):
    gap = NotMeasured("no scale: the thread can't be read", "Take one from the side.")
    tip = replace(one_look, digest="cd" * 32, features=replace(one_look.features, gap=gap, notes=()))
    monkeypatch.setattr("plugsight.casebook.book.look_at", lambda *_, **__: tip)
    if not second:
        photographed.book.remove_photo(photographed.now(), ONE, one_look.digest)
    photographed.book.add_photo(
        photographed.now(), ONE, "1_tip.jpg", cv2.imencode(".jpg", noise())[1].tobytes()
    )
    said = words(photographed.open("plug", ONE))
    assert ("the gap is on the other photo" in said) is second
    assert ("No gap from this photo" in said) is not second


def test_a_refused_photo_still_counts_as_missing(page, noise, words):
    page.book.add_photo(page.now(), ONE, "bench.jpg", cv2.imencode(".jpg", noise())[1].tobytes())
    said = words(page.open("plugs"))
    assert "a photo that can be measured" in said
