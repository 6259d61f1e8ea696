import pytest

from plugsight.readings.number import parse_number
from plugsight.vocabulary.errors import InputError


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("6.77", 6.77), ("6,77", 6.77), (".030", 0.03), ("0,750", 0.75), ("6 770", 6770.0), ("12'000", 12000.0),
        ("1.234,5", 1234.5), ("1,234.5", 1234.5), ("1,234,567", 1234567.0), ("+5", 5.0), ("5.", 5.0), ("12\u00a0000", 12000.0),
    ],
)  # fmt: skip
def test_reads_numbers_as_people_write_them(text, value):
    assert parse_number(text, "here") == pytest.approx(value, abs=1e-12)


@pytest.mark.parametrize(
    "text",
    [
        "",
        " ",
        "1,234",
        "-5",
        "\u22125",
        "5-6",
        "0. 75",
        "1e6",
        "nan",
        "inf",
        "5 6",
        "\u0665",
        "1" * 50,
        "..",
        ",",
    ],
)
def test_refuses_what_is_no_single_number(text):
    with pytest.raises(InputError, match=r"^here: "):
        parse_number(text, "here")


def test_an_ambiguous_comma_names_both_meanings():
    with pytest.raises(InputError, match=r"Write 1\.234 or 1234"):
        parse_number("1,234", "here")
