"""The gap on drawn tips whose truth is closed-form geometry, never the code's own output."""

import math
from dataclasses import replace

import cv2
import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from scipy.spatial import ConvexHull

from plugsight.features.electrode import upper_outline
from plugsight.features.gap import STRAP_REACH_MM, TipScale, fit_face, measure_gap
from plugsight.features.tip import read_tip
from plugsight.segments.record import Sighting

SCALE = TipScale(1 / 31.0, 0.003)


def gap_of(fine, tilt: float, u_tilt: float = 0.2, seen: Sighting | None = None):
    tip = read_tip(fine)
    electrode = fit_face(tip, SCALE, (tilt, u_tilt))
    return measure_gap(tip, electrode, SCALE, (tilt, u_tilt), seen), electrode, tip


@pytest.mark.parametrize("tilt", [0.0, 2.0, -5.0, 8.0, -11.0])
@pytest.mark.parametrize("edge", [0.05, 0.4])
def test_gap_at_any_tilt_of_the_limit(drawn_tip, tilt: float, edge: float) -> None:
    gap, _, _ = gap_of(drawn_tip(tilt=tilt, radius=1.25, edge=edge, depth=2 * STRAP_REACH_MM), tilt)
    # 0.015 mm is half a pixel of the tip crop
    assert gap.length.mm == pytest.approx(0.8, abs=0.015)


@pytest.mark.parametrize("tilt", [0.0, -5.0, 8.0])
def test_gap_over_a_fine_wire_is_within_its_wider_uncertainty(drawn_tip, tilt: float) -> None:
    wide = gap_of(drawn_tip(tilt=tilt, radius=1.25, edge=0.05), tilt)[0].length
    fine = gap_of(drawn_tip(tilt=tilt, radius=0.3, edge=0.05), tilt)[0].length
    assert abs(fine.mm - 0.8) < fine.U_mm
    assert fine.U_mm > wide.U_mm


def test_without_the_correction_the_gap_at_8_degrees_would_be_a_third_of_a_millimetre_short(
    drawn_tip,
) -> None:
    _, _, tip = gap_of(drawn_tip(tilt=8.0, edge=0.0, depth=2.3), 8.0)
    clear = float(np.nanmin(tip.face - tip.under)) * SCALE.mm
    # (r + w / 2) sin 8 deg with r 1.25 and w 2.3 is 0.334; cos 8 deg takes another 0.008
    assert 0.8 - clear == pytest.approx(0.342, abs=0.02)


def test_an_unknown_strap_depth_is_inside_the_stated_uncertainty(drawn_tip) -> None:
    for depth in (0.8, 2.6):
        gap, _, _ = gap_of(drawn_tip(tilt=10.0, depth=depth), 10.0)
        assert abs(gap.length.mm - 0.8) < gap.length.U_mm
        assert gap.length.budget[0].source == "what the tilt hides"


def test_uncertainty_grows_with_the_tilt_and_with_what_is_unknown_of_it(drawn_tip) -> None:
    level = gap_of(drawn_tip(tilt=1.0), 1.0)[0].length.U_mm
    assert gap_of(drawn_tip(tilt=9.0), 9.0)[0].length.U_mm > level
    assert gap_of(drawn_tip(tilt=1.0), 1.0, u_tilt=2.0)[0].length.U_mm > level


def test_a_wavering_edge_widens_the_uncertainty_and_a_hopeless_one_is_refused(drawn_tip) -> None:
    fine = drawn_tip()
    sharp = gap_of(fine, 0.0)[0].length.U_mm
    soft = replace(fine, chances=np.stack([cv2.GaussianBlur(c, (0, 0), 2.0) for c in fine.chances]))
    assert gap_of(soft, 0.0)[0].length.U_mm > sharp
    mist = replace(fine, chances=np.stack([cv2.GaussianBlur(c, (0, 0), 7.0) for c in fine.chances]))
    assert not gap_of(mist, 0.0)[0]


def test_a_gap_seen_as_well_makes_the_result_surer_and_a_difference_less_sure(drawn_tip) -> None:
    fine = drawn_tip()
    alone = gap_of(fine, 0.0)[0].length
    agrees = gap_of(fine, 0.0, seen=Sighting(alone.mm * 31.0, 2.0))[0].length
    assert agrees.mm == pytest.approx(alone.mm, abs=1e-6)
    assert agrees.U_mm < alone.U_mm
    off = 1.4 * math.hypot(alone.u_mm, 5 / 31.0)
    apart = gap_of(fine, 0.0, seen=Sighting((alone.mm + off) * 31.0, 5.0))[0].length
    assert alone.mm < apart.mm < alone.mm + off
    assert apart.U_mm > alone.U_mm
    assert apart.budget[0].source == "outlines and look disagree"


def test_two_readings_that_contradict_each_other_give_no_number(drawn_tip) -> None:
    gap, _, _ = gap_of(drawn_tip(), 0.0, seen=Sighting(1.4 * 31.0, 2.0))
    assert not gap
    assert "0.8 mm by its outlines, 1.4 mm by its look" in gap.reason
    assert "wire gauge" in gap.remedy


def test_what_the_budget_lists_makes_up_the_uncertainty(drawn_tip) -> None:
    for seen in (None, Sighting(27.0, 2.0), Sighting(28.0, 3.0)):
        length = gap_of(drawn_tip(tilt=4.0), 4.0, seen=seen)[0].length
        assert math.hypot(*(line.u_mm for line in length.budget)) == pytest.approx(length.u_mm)


def test_touching_electrodes_are_reported_as_joined_and_get_no_number(drawn_tip) -> None:
    gap, _, _ = gap_of(drawn_tip(gap=0.02), 0.0)
    assert not gap
    assert "joined" in gap.reason
    assert "lens" in gap.remedy


def test_a_strap_that_stops_short_is_not_measured(drawn_tip) -> None:
    tip = read_tip(drawn_tip(strap_from=1.2))
    assert tip.covered < 0.1
    gap = measure_gap(tip, fit_face(tip, SCALE, (0.0, 0.2)), SCALE, (0.0, 0.2), None)
    assert not gap
    assert "turn the plug" in gap.remedy


@pytest.mark.parametrize("edge", [0.05, 0.3, 0.7])
@pytest.mark.parametrize("tilt", [0.0, 4.0, -9.0])
def test_edge_radius_of_the_outline(drawn_tip, edge: float, tilt: float) -> None:
    _, electrode, _ = gap_of(drawn_tip(edge=edge, tilt=tilt), tilt)
    assert electrode.edge_radius_mm == pytest.approx(edge, abs=0.05)


def test_an_electrode_said_to_be_steeper_than_is_ever_fitted_still_is(drawn_tip) -> None:
    assert fit_face(read_tip(drawn_tip(tilt=30.0)), SCALE, (60.0, 1.0)) is not None


def test_electrode_width_is_the_cylinders(drawn_tip) -> None:
    assert read_tip(drawn_tip(radius=1.25)).width / 31.0 == pytest.approx(2.5, abs=0.02)


@settings(max_examples=12, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.floats(0.45, 1.3), st.floats(-10, 10), st.floats(0.03, 0.3))
def test_a_mirrored_plug_measures_the_same(drawn_tip, gap: float, tilt: float, edge: float) -> None:
    one = gap_of(drawn_tip(gap=gap, tilt=tilt, edge=edge), tilt)[0].length.mm
    other = gap_of(drawn_tip(gap=gap, tilt=tilt, edge=edge, mirror=True), tilt)[0].length.mm
    assert one == pytest.approx(other, abs=0.012)


def test_outline_against_the_hull_of_the_swept_ball() -> None:
    # scipy's convex hull of the projected surface is the reference for the closed form
    radius, edge, sine = 1.25, 0.3, math.sin(math.radians(7.0))
    ring, ball = np.meshgrid(np.linspace(0, 2 * np.pi, 721), np.linspace(0, 2 * np.pi, 181))
    inner = radius - edge
    points = np.stack(
        [inner * np.cos(ring) + edge * np.cos(ball), inner * sine * np.sin(ring) + edge * np.sin(ball)],
        axis=-1,
    ).reshape(-1, 2)
    hull = points[ConvexHull(points).vertices]
    upper = hull[hull[:, 1] > 0.05]
    x = np.linspace(-1.1, 1.1, 23)
    order = np.argsort(upper[:, 0])
    expected = np.interp(x, upper[order, 0], upper[order, 1])
    assert upper_outline(x, radius, edge, sine) == pytest.approx(expected, abs=2e-3)
