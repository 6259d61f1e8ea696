import pytest
from hypothesis import given
from hypothesis import strategies as st

from plugsight.readings import GAP_LIMITS_MM, parse_gap_mm, parse_gap_spec
from plugsight.vocabulary.errors import InputError


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("0.75", 0.75), ("0,75 mm", 0.75), ("0.75mm", 0.75), ('.030"', 0.762), ("0.030 in", 0.762), ("28 thou", 0.7112),
        ("0.028 inch", 0.7112), ("0.030''", 0.762), ("0.3", 0.3), ("2.0 mm", 2.0),
    ],
)  # fmt: skip
def test_reads_gaps(text, mm):
    assert parse_gap_mm(text) == pytest.approx(mm, abs=1e-9)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("0.030", "read as mm"), ("30", "read as mm"), ("5k", "length in mm or inches"), ("0.08 cm", "length in mm or inches"),
        ("0.75 in", "between 0.3 and 2.0 mm"), ("2.01 mm", "between 0.3 and 2.0 mm"), ("0.29 mm", "between 0.3 and 2.0 mm"),
        ("-0.75", "negative"), ("0.7-0.8", "one number"), ("wide", "no gap found"), ("1,234 mm", "thousands or a decimal"),
    ],
)  # fmt: skip
def test_refuses_with_a_remedy(text, says):
    with pytest.raises(InputError, match=says) as error:
        parse_gap_mm(text, "plug 3")
    assert error.value.where == "plug 3"
    assert error.value.remedy


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("0.7-0.8 mm", (0.7, 0.8, False)), ("0.7 to 0.8", (0.7, 0.8, False)), ("0.028-0.031 in", (0.7112, 0.7874, False)),
        ("0.7mm\u20130.8mm", (0.7, 0.8, False)), ('.028"-.031"', (0.7112, 0.7874, False)), ("28-31 thou", (0.7112, 0.7874, False)),
        ("0.8 \u00b1 0.1 mm", (0.7, 0.9, False)), ("0.8", (0.75, 0.85, True)), ("0.030 in", (0.712, 0.812, True)),
    ],
)  # fmt: skip
def test_reads_what_the_list_permits(text, expected):
    low, high, from_memory = parse_gap_spec(text)
    assert (low, high) == pytest.approx(expected[:2], abs=1e-9)
    assert from_memory is expected[2]


def test_a_reversed_range_is_refused():
    with pytest.raises(InputError, match="lower figure comes first"):
        parse_gap_spec("0.8-0.7")


@given(st.text(max_size=30))
def test_any_text_is_a_gap_within_limits_or_an_input_error(text):
    try:
        gap = parse_gap_mm(text)
    except InputError:
        return
    assert GAP_LIMITS_MM[0] <= gap <= GAP_LIMITS_MM[1]


@given(st.text(max_size=30))
def test_any_text_is_a_spec_or_an_input_error(text):
    try:
        low, high, _ = parse_gap_spec(text)
    except InputError:
        return
    assert low <= high
