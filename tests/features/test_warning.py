import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plugsight.features import GapWarning, Length
from plugsight.features.warning import judge_gap
from plugsight.vocabulary.refusal import NotMeasured


def gap(mm: float, U_mm: float) -> Length:
    return Length(mm=mm, u_mm=U_mm / 1.96, U_mm=U_mm)


@pytest.mark.parametrize(
    ("mm", "U_mm", "expected"),
    [
        (1.05, 0.06, GapWarning.CLEARLY_WIDE),
        (0.95, 0.06, GapWarning.NEAR_SPEC),
        (0.80, 0.06, GapWarning.IN_SPEC),
        (0.75, 0.06, GapWarning.NEAR_SPEC),
        (0.62, 0.06, GapWarning.LOOKS_CLOSED),
        (0.80, 0.11, GapWarning.NEAR_SPEC),  # the tolerance of 0.2 mm is not wider than 2 U
    ],
)
def test_judged_with_guard_bands(mm: float, U_mm: float, expected: GapWarning) -> None:
    assert judge_gap(gap(mm, U_mm), (0.7, 0.9)) is expected


def test_without_a_figure_nothing_is_judged() -> None:
    assert judge_gap(gap(0.8, 0.01), None) is GapWarning.NO_SPEC


def test_a_gap_that_was_not_measured_is_to_be_gauged() -> None:
    assert judge_gap(NotMeasured("tilted", "level"), (0.7, 0.9)) is GapWarning.NEAR_SPEC


@given(st.floats(0.3, 2.0), st.floats(0.001, 0.5), st.floats(0.3, 1.5), st.floats(0.0, 0.5))
def test_in_is_only_said_when_the_whole_interval_is_in(
    mm: float, U_mm: float, low: float, width: float
) -> None:
    high = low + width
    if judge_gap(gap(mm, U_mm), (low, high)) is GapWarning.IN_SPEC:
        assert low <= mm - U_mm + 1e-12
        assert mm + U_mm <= high + 1e-12
        assert width > 2 * U_mm or math.isclose(width, 2 * U_mm)
