"""Wear rate and forecast against scipy, numpy and the definition of Fieller's set."""

import math

import numpy as np
import pytest
from scipy import stats

from plugsight.casebook.wear import GapReading, forecast, wear_rate

U = 0.02 / math.sqrt(3)
"""Half-step of a wire gauge, rectangular (JCGM 100:2008, 4.3.7)."""
KM = np.array([0.0, 12_000.0, 31_000.0, 44_000.0, 60_000.0])


def line(mm, km=KM, setting=0):
    return [GapReading(float(x), float(y), setting) for x, y in zip(km, mm, strict=True)]


def test_smooth_readings_carry_the_gauges_own_uncertainty():
    mm = 0.80 + 1e-6 * KM + np.array([0.005, -0.005, 0.0, 0.005, -0.005])
    wear = wear_rate(line(mm), U)
    # numpy's unscaled covariance takes the given weights at their word, as a known standard uncertainty must be
    (slope, _), covariance = np.polyfit(KM, mm, 1, w=np.full(5, 1 / U), cov="unscaled")
    half = stats.norm.ppf(0.975) * math.sqrt(covariance[0, 0])
    assert not wear.scattered
    assert wear.rate == pytest.approx(1000 * slope, rel=1e-9)
    assert (wear.low, wear.high) == pytest.approx((1000 * (slope - half), 1000 * (slope + half)), rel=1e-9)


def test_scattered_readings_carry_their_scatter():
    mm = 0.80 + 1e-6 * KM + np.array([0.05, -0.05, 0.06, -0.04, 0.05])
    wear = wear_rate(line(mm), U)
    fitted = stats.linregress(KM, mm)
    half = stats.t.ppf(0.975, 3) * fitted.stderr
    assert wear.scattered
    assert wear.rate == pytest.approx(1000 * fitted.slope, rel=1e-9)
    assert wear.high - wear.low == pytest.approx(2000 * half, rel=1e-9)


def test_scatter_counts_from_the_chi_squared_limit_on():
    # residuals (1, -2, 1)·r about a flat line: their sum of squares is 6 r²; one degree of freedom is left
    limit = U * math.sqrt(stats.chi2.ppf(0.95, 1) / 6)
    for r, scattered in ((0.99 * limit, False), (1.01 * limit, True)):
        readings = line(0.8 + r * np.array([1, -2, 1]), km=np.array([0.0, 10_000.0, 20_000.0]))
        assert wear_rate(readings, U).scattered is scattered


def test_setting_the_gap_is_no_wear():
    readings = [*line([0.80, 0.86, 0.91], KM[:3]), *line([0.80, 0.83, 0.90], KM[2:], setting=1)]
    wear = wear_rate(readings, U)
    # the same model written out: a column of km, and a column of ones for each setting
    design = np.array([[r.km, r.setting == 0, r.setting == 1] for r in readings], float)
    fitted, left_over, _, _ = np.linalg.lstsq(design, np.array([r.mm for r in readings]), rcond=None)
    covariance = np.linalg.inv(design.T @ design)
    assert wear.rate == pytest.approx(1000 * fitted[0], rel=1e-9)
    assert wear.freedom == 3
    factor = stats.norm.ppf(0.975) * U
    if left_over[0] / U**2 > stats.chi2.ppf(0.95, 3):
        factor = stats.t.ppf(0.975, 3) * math.sqrt(left_over[0] / 3)
    assert wear.high - wear.rate == pytest.approx(1000 * factor * math.sqrt(covariance[0, 0]), rel=1e-6)
    assert wear.mean_mm == pytest.approx(0.8433333, abs=1e-6)


def test_two_readings_give_a_rate_but_no_forecast():
    wear = wear_rate(line([0.80, 0.86], KM[[0, 4]]), U)
    # two readings of equal uncertainty: u of their difference is u times the root of two
    half = stats.norm.ppf(0.975) * U * math.sqrt(2) / 60
    assert wear.rate == pytest.approx(0.001)
    assert wear.high == pytest.approx(0.001 + half)
    refused = forecast(wear, 0.9)
    assert not refused
    assert "not enough inspections" in refused.reason


@pytest.mark.parametrize("readings", [[], line([0.8], KM[:1]), line([0.8, 0.9], [5e3, 5e3])])
def test_one_distance_is_no_rate(readings):
    refused = wear_rate(readings, U)
    assert not refused
    assert "not enough inspections" in refused.reason


def test_forecast_is_where_the_line_crosses_and_its_ends_are_fiellers():
    mm = 0.80 + 1e-6 * KM + np.array([0.005, -0.005, 0.0, 0.005, -0.005])
    wear = wear_rate(line(mm), U)
    found = forecast(wear, 0.95)
    slope, intercept = np.polyfit(KM, mm, 1)
    assert found.km == pytest.approx((0.95 - intercept) / slope, rel=1e-9)
    spread = float(np.sum((KM - KM.mean()) ** 2))
    for end in (found.low, found.high):
        # Fieller's definition: the end where the fitted line just differs from the limit at 95 %
        u = U * math.sqrt(1 / 5 + (end - KM.mean()) ** 2 / spread)
        assert abs(intercept + slope * end - 0.95) == pytest.approx(stats.norm.ppf(0.975) * u, rel=1e-6)
    assert found.low < found.km < found.high


@pytest.mark.parametrize("mm", [[0.80, 0.80, 0.80], [0.85, 0.83, 0.81], [0.80, 0.81, 0.81]])
def test_a_gap_that_may_not_grow_has_no_forecast(mm):
    refused = forecast(wear_rate(line(mm, KM[:3]), U), 0.95)
    assert not refused
    assert "not grown" in refused.reason


def test_the_interval_holds_the_truth_as_often_as_it_says():
    rng = np.random.default_rng(11)
    rates, crossings = [], []
    for _ in range(1500):
        wear = wear_rate(line(0.80 + 2e-6 * KM + rng.normal(0, U, 5)), U)
        found = forecast(wear, 0.95)
        rates.append(wear.low <= 0.002 <= wear.high)
        # a refusal is Fieller's set without ends: it holds everything
        crossings.append(not found or found.low <= 75_000.0 <= found.high)
    # 95 % each, a little more or less since the scatter decides which interval is used: 1500 draws at 0.94 stay over 0.92
    assert 0.92 < np.mean(rates) < 0.98
    assert 0.92 < np.mean(crossings) < 0.98
