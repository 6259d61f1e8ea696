"""Sentences of the report: what was decided, read and done, in the words of the trade."""

from dataclasses import replace

from plugsight.readings.record import Judgement, Reading, ReadingKind
from plugsight.report.plug_lines import plug_lines
from plugsight.report.plug_words import bench_lines, check_done, decided_by, reading_line, repair_lines
from plugsight.report.sources import Sources, sources_of
from plugsight.vocabulary.engine import Place
from plugsight.vocabulary.outcomes import CheckOutcome, RepairOutcome


def _reading(kind: ReadingKind, text: str, judgement: Judgement, **more) -> Reading:
    return Reading(Place(1), kind, text, None, None, None, judgement, "", "", final=True, **more)


def test_how_each_plug_was_decided(report):
    manners = [decided_by(row.confirmation).rpartition(": ")[2] for row in report.plugs]
    assert manners[0] == "agreed with the suggestion"
    assert manners[1] == "decided before any suggestion was shown"
    assert manners[2].endswith("(it said wet oil, ash)")
    assert manners[3] == "looked, and could not tell"


def test_a_reading_that_says_it_all_is_said_once():
    sounds = _reading(ReadingKind.CONTINUITY, "sounds", Judgement.SOUNDS)
    assert reading_line(sounds) == ("strap to shell", "sounds")


def test_straps_and_cleaning_are_named():
    second = _reading(ReadingKind.GAUGE, "0.8", Judgement.IN, electrode=2, after_cleaning=True)
    assert reading_line(second) == ("wire gauge, strap 2, cleaned", "0.8 mm: in")
    inches = _reading(ReadingKind.GAUGE, "0.028 in", Judgement.IN)
    assert reading_line(inches)[1] == "0.028 in: in"


def test_what_is_sound_stands_in_one_line(report):
    assert bench_lines(report.plugs[0].confirmation) == ("10x lens: no crack", "dropped: no")


def test_checks_done_in_the_words_of_their_own_data():
    assert "dry" in check_done(CheckOutcome("compression_dry_wet", "wet_rise", 2))
    # an id that no longer ships is still readable
    assert check_done(CheckOutcome("old_check", "went_well", bank=1, note="twice")) == (
        "old check, bank 1: went well (twice)"
    )


def test_repair_says_what_is_not_known():
    lines = repair_lines(RepairOutcome("coil renewed", complaint_gone=True, odometer_km=128900.0))
    assert lines == (
        "repaired: coil renewed",
        "complaint: gone",
        "finding on the plugs: not known yet",
        "at 128900 km",
    )


def test_sources_are_numbered_once_in_order(report):
    sources = sources_of(report)
    assert len(set(sources.items)) == len(sources.items)
    assert sources.items[0] == "CP"
    assert sources.mark("CP") == "[1]"
    assert Sources(()).mark("CP") == ""


def test_plug_lines_leave_out_what_is_empty(report):
    labels = [line.label for line in plug_lines(report.plugs[3], sources_of(report))]
    assert "at the bench" not in labels
    assert "gap to set" not in labels
    assert "still to look at" in labels


def test_a_photo_is_not_blamed_for_a_gap_that_another_gave(report):
    side = replace(
        report.plugs[0].pictures[0], caption="side.jpg", gap_mm=0.8, gap_U_mm=0.1, notes=("dim: more light",)
    )
    refused = "no scale: the thread can't be read"
    tip = replace(
        side,
        caption="tip.jpg",
        gap_mm=None,
        gap_U_mm=None,
        gap_words=refused,
        notes=("the thread can't be read: turn it",),
    )
    sources = sources_of(report)

    def about(*pictures):
        lines = plug_lines(replace(report.plugs[0], pictures=pictures), sources)
        return next((line.text for line in lines if line.label == "about the photos"), "")

    assert about(side, tip) == "side.jpg: dim: more light"
    assert about(tip) == "the thread can't be read: turn it"
