"""Which readings belong to the same plug, and what is said of them."""

from dataclasses import replace

import pytest

from plugsight.casebook.gap_series import gap_series, gauged
from plugsight.casebook.side_by_side import side_by_side
from plugsight.casebook.wear_words import wear_words
from plugsight.inspection import Inspection, PlugCase
from plugsight.readings import ReadingEntry, ReadingKind
from plugsight.vocabulary.engine import Context, EngineFacts, Meter, Place, PlugSpec

ONE = Place(1)


def seen(km, *gaps, on_plugs=None, cleaned=(), straps=1, not_compared=()):
    """An inspection at an odometer with gauge readings of plug 1, those after cleaning apart."""
    entries = [ReadingEntry(ONE, ReadingKind.GAUGE, f"{mm:.2f}", k % straps + 1) for k, mm in enumerate(gaps)]
    entries += [ReadingEntry(ONE, ReadingKind.GAUGE, f"{mm:.2f}", after_cleaning=True) for mm in cleaned]
    context = Context(odometer_km=km, km_on_plugs=on_plugs, not_compared=not_compared)
    spec = PlugSpec(gap_mm=(0.75, 0.95), ground_electrodes=straps)
    case = PlugCase(ONE, entries=tuple(entries))
    return Inspection("x", 1, "", "", EngineFacts("Invented one", 1), spec, context, Meter(), (case,))


def read(*past):
    return [(r.km, r.mm, r.setting) for r in gap_series(past, ONE).readings]


def test_the_same_plug_is_followed_over_the_odometer():
    assert read(seen(10e3, 0.80), seen(30e3, 0.84), seen(50e3, 0.88)) == [
        (10e3, 0.80, 0),
        (30e3, 0.84, 0),
        (50e3, 0.88, 0),
    ]


def test_a_corrected_reading_counts_once():
    assert read(seen(10e3, 0.80, 0.81)) == [(10e3, 0.81, 0)]


def test_cleaning_and_setting_begins_a_line_of_its_own():
    past = seen(10e3, 0.80), seen(30e3, 0.88, cleaned=[0.80]), seen(50e3, 0.87)
    assert read(*past) == [(10e3, 0.80, 0), (30e3, 0.88, 0), (30e3, 0.80, 1), (50e3, 0.87, 1)]


@pytest.mark.parametrize(
    "later",
    [
        seen(50e3, 0.80),  # smaller by 0.08 mm, more than a gauge can err
        seen(50e3, 0.90, on_plugs=1e3),
        seen(20e3, 0.90),
        seen(50e3, 0.90, not_compared=(ONE,)),
    ],
    ids=["gap shrank", "newer plugs", "odometer ran back", "another plug"],
)
def test_another_plug_begins_the_series_anew(later):
    past = seen(10e3, 0.84, on_plugs=10e3), seen(30e3, 0.88, on_plugs=30e3), later
    assert len(read(*past)) == 1


def test_a_difference_that_the_gauge_can_not_tell_is_the_same_plug():
    assert len(read(seen(10e3, 0.84), seen(30e3, 0.82))) == 2


def test_km_on_the_plugs_stand_in_for_an_odometer_nobody_noted():
    past = seen(None, 0.80, on_plugs=10e3), seen(None, 0.84, on_plugs=30e3)
    assert read(*past) == [(10e3, 0.80, 0), (30e3, 0.84, 0)]
    assert gap_series(past, ONE).scale == "on these plugs"


def test_of_several_straps_the_widest_counts():
    assert gauged(seen(10e3, 0.80, 0.86, straps=2), ONE).found == 0.86


def test_a_plug_that_the_engine_did_not_have_is_not_gauged():
    assert gauged(seen(10e3, 0.80), Place(2)) is None


def test_words_say_rate_limit_and_interval():
    rate, reached = wear_words([seen(0, 0.80), seen(30e3, 0.83), seen(60e3, 0.86)], ONE)
    assert rate.startswith("+0.0010 mm per 1,000 km (")
    # 0.80 mm + 0.001 mm per 1,000 km reaches 0.95 mm at 150,000 km
    assert "0.95 mm at about 150,000 km on the odometer" in reached


def test_words_say_what_is_missing():
    assert "Not enough inspections" in wear_words([seen(10e3, 0.80)], ONE)[0]
    assert "not enough inspections" in wear_words([seen(0, 0.80), seen(30e3, 0.86)], ONE)[1]
    assert "already" in wear_words([seen(0, 0.80), seen(30e3, 0.86), seen(60e3, 0.96)], ONE)[1]
    unknown = [replace(one, spec=PlugSpec()) for one in (seen(0, 0.80), seen(30e3, 0.86))]
    assert "no gap to compare" in wear_words(unknown, ONE)[1]


def test_two_inspections_side_by_side():
    (pair,) = side_by_side(seen(10e3, 0.80), seen(30e3, 0.88))
    assert pair.change == "+0.08 mm: grown"
    assert "no change" in side_by_side(seen(10e3, 0.80), seen(30e3, 0.82))[0].change
    assert "set again" in side_by_side(seen(10e3, 0.80), seen(30e3, 0.70))[0].change
    assert side_by_side(seen(10e3), seen(30e3, 0.80))[0].change == "not gauged both times"
    assert side_by_side(seen(10e3, 0.88, cleaned=[0.80]), seen(30e3, 0.86))[0].change == "+0.06 mm: grown"
