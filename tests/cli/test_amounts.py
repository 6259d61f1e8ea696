"""Figures with their unit."""

import pytest
from pydantic_core import PydanticCustomError

from plugsight.cli.engine_file import amounts


@pytest.mark.parametrize(
    ("written", "limits", "single"),
    [
        ("0.7-0.8 mm", (0.7, 0.8), False),
        ("0,7 - 0,8 mm", (0.7, 0.8), False),
        ("0.7 to 0.8mm", (0.7, 0.8), False),
        ("0.7\u20130.8 mm", (0.7, 0.8), False),
        # 1 in = 25.4 mm exactly (international yard and pound agreement, 1959): 0.028 in = 0.7112 mm.
        ("0.028-0.031 in", (0.7112, 0.7874), False),
        ('0.028-0.031"', (0.7112, 0.7874), False),
        ("0.75 mm", (0.70, 0.80), True),
    ],
)
def test_gap(written: str, limits: tuple[float, float], single: bool) -> None:
    read, from_memory = amounts.gap(written)
    assert read == pytest.approx(limits, abs=1e-9)
    assert from_memory is single


@pytest.mark.parametrize(
    ("written", "ohm"),
    [
        ("4-8 kOhm", (4000.0, 8000.0)),
        ("5 kΩ", (5000.0, 5000.0)),
        ("470 Ohm", (470.0, 470.0)),
        ("20 MOhm", (20e6, 20e6)),
        ("2 M", (2e6, 2e6)),
        ("2 K", (2e3, 2e3)),
    ],
)
def test_resistance(written: str, ohm: tuple[float, float]) -> None:
    assert amounts.ohms(written) == ohm


def test_torque_in_foot_pounds() -> None:
    # 1 ft-lb = 0.3048 m x 4.4482216 N = 1.355818 Nm (from the exact definitions of foot and pound-force).
    assert amounts.newton_metres("10 ft-lb") == pytest.approx((13.55818,) * 2, abs=1e-4)


@pytest.mark.parametrize(
    ("read", "written", "rule", "remedy"),
    [
        (amounts.gap, "0.7 kOhm", "a length in mm or inches", "0.75 mm"),
        (amounts.gap, "7", "no gap in mm", "Write the unit"),
        (amounts.ohm, "7", "the unit is missing", "kOhm"),
        (amounts.gap, "wide", "no gap", "0.75 mm"),
        (amounts.gap, 0.7, "not a figure", "0.7-0.8 mm"),
        (amounts.gap, "0.8-0.7 mm", "lower figure comes first", "low-high"),
        (amounts.gap, "7-8 mm", "between 0.3 and 2.0 mm", "Check the figure and its unit"),
        (amounts.gap, "0.75 in", "between 0.3 and 2.0 mm", "Check the figure and its unit"),
        (amounts.ohm, "20 mOhm", "unit 'mOhm' doesn't belong here", "MOhm"),
        (amounts.ohm, "2 m", "unit 'm' doesn't belong here", "kOhm"),
        (amounts.millimetres, "2.5 Nm", "unit 'Nm' doesn't belong here", "mm, in"),
    ],
)
def test_refused_with_rule_and_remedy(read: object, written: object, rule: str, remedy: str) -> None:
    with pytest.raises(PydanticCustomError) as caught:
        read(written)
    assert rule in caught.value.message()
    assert remedy in caught.value.context["remedy"]
