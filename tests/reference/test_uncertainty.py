"""Published values for the uncertainty budget and the guard bands."""

import math

import pytest
from scipy import stats

from plugsight.features.uncertainty import Component, chance_within, combine, coverage_factor, length_of

# JCGM 100:2008, example H.1 (end gauge): contributions 25, 9.7, 2.9, 16.6 nm with 18, 25.6, 50, 2 degrees of freedom.
END_GAUGE = (
    Component("calibration of the standard", 25.0, 18.0),
    Component("measured difference", 9.7, 25.6),
    Component("difference of expansion coefficients", 2.9, 50.0),
    Component("difference of temperatures", 16.6, 2.0),
)


def test_end_gauge_combined_uncertainty_is_32_nm() -> None:
    # JCGM 100:2008, H.1.4: u_c = 32 nm; H.1.6: effective degrees of freedom 16.7, rounded down to 16
    u, dof = combine(END_GAUGE)
    assert round(u) == 32
    assert math.floor(dof) == 16


def test_end_gauge_expanded_uncertainty_at_99_percent_is_93_nm() -> None:
    # JCGM 100:2008, H.1.6: t99(16) = 2.92 and U99 = 93 nm, from u_c rounded to 32 nm
    _, dof = combine(END_GAUGE)
    factor = coverage_factor(dof, 0.99)
    assert factor == pytest.approx(2.92, abs=0.005)
    assert round(factor * 32) == 93


@pytest.mark.parametrize(("coverage", "factor"), [(0.95, 2.12), (0.9545, 2.17), (0.99, 2.92)])
def test_student_factors_for_16_degrees_of_freedom(coverage: float, factor: float) -> None:
    # JCGM 100:2008, table G.2, row 16
    assert coverage_factor(16.0, coverage) == pytest.approx(factor, abs=0.005)


def test_student_factor_without_end_is_the_normal_one() -> None:
    # JCGM 100:2008, table G.2, row infinity, 95.45 %: 2.00
    assert coverage_factor(math.inf, 0.9545) == pytest.approx(2.0, abs=0.005)


@pytest.mark.parametrize(
    ("value", "u", "low", "high", "chance"),
    [
        # JCGM 106:2012, 7.3.3 example 1, 7.3.3 example 2, and 7.4: numbers from memory, consistent with the normal law
        (-5.47, 0.05, -math.inf, -5.40, 0.92),
        (509.7, 8.6, 490.0, math.inf, 0.99),
        (13.6, 1.8, 12.5, 16.3, 0.66),
    ],
)
def test_conformance_probability(value: float, u: float, low: float, high: float, chance: float) -> None:
    assert chance_within(value, u, low, high) == pytest.approx(chance, abs=0.005)


def test_conformance_probability_is_the_normal_law() -> None:
    # Phi(1.4) = 0.9192, any table of the normal distribution
    assert chance_within(-5.47, 0.05, -math.inf, -5.40) == pytest.approx(0.9192, abs=5e-4)


@pytest.mark.parametrize(("guard", "risk"), [(1.645, 0.05), (2.0, 0.0228), (0.0, 0.5)])
def test_guard_band_risk_at_the_acceptance_limit(guard: float, risk: float) -> None:
    # Identity of the normal law (JCGM 106:2012, 8.3.2: a guard band of w = r U lowers the consumer's risk)
    u = 0.02
    assert 1.0 - chance_within(0.9 - guard * u, u, -math.inf, 0.9) == pytest.approx(risk, abs=1e-3)


def test_no_component_is_no_uncertainty() -> None:
    assert combine(()) == (0.0, math.inf)


def test_length_lists_its_budget_and_expands_it() -> None:
    length = length_of(0.8, (Component("edges", 0.012), Component("tilt", 0.016)))
    # root sum of squares of 12 and 16 is 20; 1.960 is the normal law's 97.5 % point
    assert length.u_mm == pytest.approx(0.02, abs=1e-9)
    assert length.U_mm == pytest.approx(0.0392, abs=1e-4)
    assert [line.source for line in length.budget] == ["tilt", "edges"]


def test_welch_satterthwaite_of_one_component_is_its_own() -> None:
    assert combine((Component("only", 0.3, 7.0),))[1] == pytest.approx(7.0)
    assert coverage_factor(7.0) == pytest.approx(float(stats.t.ppf(0.975, 7)))
