"""SAE J2012 / ISO 15031-6 generic codes and SAE J1979 fuel trims, read in restatements."""

import pytest

from plugsight.causes.codes import CodeKind, parse_code
from plugsight.causes.trims import TrimSays, decode_trim_byte, trim_says


@pytest.mark.parametrize(
    ("code", "kind", "bank", "cylinder"),
    [
        ("P0171", CodeKind.LEAN, 1, None), ("P0174", CodeKind.LEAN, 2, None),
        ("P0172", CodeKind.RICH, 1, None), ("P0175", CodeKind.RICH, 2, None),
        ("P0300", CodeKind.MISFIRE_RANDOM, None, None),
        ("P0303", CodeKind.MISFIRE_CYLINDER, None, 3), ("P0312", CodeKind.MISFIRE_CYLINDER, None, 12),
        ("P0313", CodeKind.NOTED, None, None), ("P0325", CodeKind.KNOCK_CIRCUIT, 1, None), ("P0330", CodeKind.KNOCK_CIRCUIT, 2, None),
        ("P0351", CodeKind.COIL_CIRCUIT, None, None), ("P0420", CodeKind.CATALYST, 1, None), ("P0430", CodeKind.CATALYST, 2, None),
        ("P1234", CodeKind.NOTED, None, None), ("U0100", CodeKind.NOTED, None, None), ("P030A", CodeKind.NOTED, None, None),
    ],
)  # fmt: skip
def test_codes(code, kind, bank, cylinder):
    read = parse_code(code.lower())
    assert (read.kind, read.bank, read.cylinder) == (kind, bank, cylinder)


def test_a_coil_code_names_a_letter_and_no_cylinder():
    assert (parse_code("P0354").coil, parse_code("P0354").cylinder) == ("D", None)


# (A - 128) * 100 / 128 %
@pytest.mark.parametrize(("byte", "percent"), [(0, -100.0), (128, 0.0), (255, 99.21875)])
def test_trim_bytes(byte, percent):
    assert decode_trim_byte(byte) == percent


def test_positive_means_fuel_added_against_lean():
    # some published tables label the sign the other way round: the sign is the trap
    assert trim_says(decode_trim_byte(160)) is TrimSays.LEAN
    assert trim_says(decode_trim_byte(96)) is TrimSays.RICH
    assert trim_says(8.0) is TrimSays.USUAL
