import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plugsight.readings import OverRange, parse_ohm
from plugsight.vocabulary.errors import InputError


@pytest.mark.parametrize(
    ("text", "ohm"),
    [
        ("6.77k", 6770.0), ("6770", 6770.0), ("6,77 k\u03a9", 6770.0), ("6.77 k\u2126", 6770.0), ("6.77 Kohm", 6770.0),
        ("4k7", 4700.0), ("1 M\u03a9", 1e6), ("1M", 1e6), ("0.8 megohm", 8e5), ("5R6", 5.6), ("6 770", 6770.0), ("0", 0.0),
        ("12.5 ohm", 12.5), ("20 MOhm", 2e7), ("5 kilohm", 5000.0),
    ],
)  # fmt: skip
def test_reads_resistances(text, ohm):
    assert parse_ohm(text) == pytest.approx(ohm, rel=1e-12)


@pytest.mark.parametrize(
    "text", ["OL", "ol", "O.L", "0L", "\u221e", "overload", "over range", "open", "inf", "no reading"]
)
def test_over_range_is_no_number(text):
    assert parse_ohm(text) == OverRange(None)


@pytest.mark.parametrize("text", ["OL 20M", ">20M", "OL on 20 M\u03a9", "over 20 M"])
def test_over_range_keeps_the_range_that_was_written(text):
    assert parse_ohm(text) == OverRange(20e6)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("6.77", "ohm, kilohm or megohm"), ("5", "ohm, kilohm or megohm"), ("1", "lone 1"), ("1,234k", "thousands or a decimal"),
        ("1 m\u03a9", "milli or mega"), ("5 V", "in ohm, kilohm or megohm"), ("0.75 mm", "in ohm, kilohm or megohm"),
        ("about 5k", "no resistance found"), ("5-6k", "one number"), ("-5k", "negative"), ("none", "no resistance found"),
    ],
)  # fmt: skip
def test_refuses_what_could_mean_two_things(text, says):
    with pytest.raises(InputError, match=says):
        parse_ohm(text)


def test_continuity_may_be_written_as_a_bare_decimal():
    assert parse_ohm("0.6", bare_decimals=True) == 0.6


@given(st.text(max_size=30))
def test_any_text_is_a_resistance_or_an_input_error(text):
    try:
        seen = parse_ohm(text)
    except InputError:
        return
    ohm = seen.above_ohm if isinstance(seen, OverRange) else seen
    assert ohm is None or (math.isfinite(ohm) and ohm >= 0)
