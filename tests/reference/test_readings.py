"""Readings against published worked examples and the facts of the bench."""

import math

import pytest

from plugsight.readings import (
    Judgement,
    OverRange,
    ReadingEntry,
    ReadingKind,
    judge_readings,
    parse_gap_mm,
    parse_gap_spec,
    parse_ohm,
    range_to_set,
)
from plugsight.readings.guard import GUARD
from plugsight.readings.meter import limit_of_error_ohm, standard_uncertainty
from plugsight.vocabulary.engine import Meter, Place, PlugSpec


def judged(kind, text, spec=PlugSpec(resistor=True), meter=Meter()):  # noqa: B008
    return judge_readings([ReadingEntry(Place(1), kind, text)], spec, meter).items[0]


# ±(% of reading + counts): published worked examples in volt; the arithmetic does not know the unit.
@pytest.mark.parametrize(
    ("reading", "ranges", "counts_full", "percent", "counts", "expected"),
    [
        # a meter maker's support article: 120 V, 6000-count, 600.0 V range, 1 % + 3 -> ±1.5 V
        (120.0, (6.0, 60.0, 600.0), 6000, 1.0, 3, 1.5),
        # restated: 100.0 V, 1 % + 2 -> 98.8 to 101.2 V
        (100.0, (200.0,), 2000, 1.0, 2, 1.2),
        # restated: 2 V, 0.5 % + 3 at 0.001 -> 1.987 to 2.013 V
        (2.0, (2.0,), 2000, 0.5, 3, 0.013),
        # computed: 5.00 kohm, 0.8 % + 2 at 0.01 k -> ±60 ohm
        (5000.0, (200.0, 2e3, 20e3), 2000, 0.8, 2, 60.0),
    ],
)
def test_limit_of_error(reading, ranges, counts_full, percent, counts, expected):
    meter = Meter(ranges_ohm=ranges, display_counts=counts_full, percent=percent, counts=counts)
    assert limit_of_error_ohm(reading, meter) == pytest.approx(expected, abs=0.001)


def test_continuity_without_leads():
    # computed: 0.6 ohm less leads of 0.4 = 0.2, u = sqrt(u1^2 + u2^2), rectangular (JCGM 100:2008, 4.3.7)
    meter = Meter(lead_ohm=0.4)
    reading = judged(ReadingKind.CONTINUITY, "0.6", meter=meter)
    assert reading.value == pytest.approx(0.2, abs=1e-9)
    u1, u2 = (limit_of_error_ohm(r, meter) / math.sqrt(3) for r in (0.6, 0.4))
    assert reading.u == pytest.approx(math.hypot(u1, u2), rel=1e-12)
    assert judged(ReadingKind.CONTINUITY, "0.3", meter=meter).judgement is Judgement.SOUNDS


def test_over_range_is_more_than_the_range_and_no_number():
    assert parse_ohm("OL") == OverRange()
    reading = judged(ReadingKind.INSULATION, "OL")
    assert reading.value is None
    assert reading.over == 20e6


def test_rectangular_uncertainty_and_guard():
    # JCGM 100:2008, 4.3.7: u = a / sqrt(3). JCGM 106:2012: a guard of 1.645 u leaves a one-sided risk of 5.00 %.
    assert standard_uncertainty(60.0) == pytest.approx(34.641, abs=0.001)
    assert 0.5 * math.erfc(GUARD / math.sqrt(2)) == pytest.approx(0.05, abs=1e-3)


# TM 10-3930-653-14&P, para 4-7-9: gap 0.7 to 0.8 mm (0.028 to 0.031 in)
def test_gap_of_the_manual():
    assert judged(ReadingKind.GAUGE, "0.75", PlugSpec(gap_mm=(0.7, 0.8))).judgement is Judgement.IN
    assert parse_gap_mm("0.028 in") == pytest.approx(0.7112, abs=1e-4)
    assert parse_gap_mm("0.031 in") == pytest.approx(0.7874, abs=1e-4)
    assert parse_gap_spec("0.028-0.031 in")[:2] == pytest.approx((0.7112, 0.7874), abs=1e-4)


def test_the_erratum_is_not_repeated():
    # TM 5-4310-360-14 prints 0.030 in as 0.08382 cm; 25.4 mm per inch gives 0.762 mm
    assert parse_gap_mm("0.030 in") == pytest.approx(0.762, abs=1e-6)


# The trade's own facts: common practice, no source.
def test_common_practice_range_for_4_to_8_kilohm_is_20_k():
    assert range_to_set(8e3, Meter()) == 20e3


def test_common_practice_6_77_kilohm_is_usual_and_no_limit_is_given():
    reading = judged(ReadingKind.RESISTANCE, "6.77k")
    assert reading.judgement == "usual for a resistor plug, no limit given"


@pytest.mark.parametrize(
    ("text", "spec", "judgement"),
    [
        ("6.77k", PlugSpec(), "usual for a resistor plug, no limit given"),
        ("12k", PlugSpec(), "unusual: look up the plug's figure"),
        ("12k", PlugSpec(resistance_ohm=(3e3, 7.5e3)), "out"),
        ("OL", PlugSpec(), "open"),
    ],
)
def test_only_the_plugs_own_figure_or_an_open_circuit_fails_it(text, spec, judgement):
    assert judged(ReadingKind.RESISTANCE, text, spec).judgement == judgement


def test_common_practice_no_reading_is_no_leak_seen_up_to_20_megohm():
    reading = judged(ReadingKind.INSULATION, "OL")
    assert reading.words.startswith("no leak seen up to 20 MOhm with this meter")
