"""Refusals at the tip, each with its reason and a remedy; and one drawn plug measured through the room's verb."""

import math
from dataclasses import replace

import numpy as np
import pytest

from plugsight.features import CATALOGUE, GapWarning, Length, measure
from plugsight.features.agreed import UNSURE, agreed, off_profile
from plugsight.features.geometry import measure_tip
from plugsight.features.pooled import pool
from plugsight.segments.record import Part, Segments, Sighting
from plugsight.view.record import Pose, Scale, ThreadReading, View, ViewKind
from plugsight.view.ruler import FRONT_DEPTH
from plugsight.view.scale import scale_at
from plugsight.vocabulary.engine import PlugSpec
from plugsight.vocabulary.refusal import NotMeasured


def a_view(
    kind: ViewKind = ViewKind.SIDE, tilt: float = 0.0, u_tilt: float = 0.3, scale: object = None
) -> View:
    return View(
        photo_name="drawn", photo_digest="ab" * 32, pixels=np.full((320, 320, 3), 0.18, np.float32),
        plug=np.zeros((320, 320), bool), canonical=np.full((320, 320, 3), 118, np.uint8),
        canonical_to_view=np.eye(2, 3), axis_col=159.5, face_row=250.0, card=NotMeasured("no card", "lay one down"),
        pose=Pose(kind, 0.0, tilt, u_tilt),
        scale=Scale(1 / 31, 0.0001, "M14x1.25", 9) if scale is None else scale, to_photo=np.eye(2, 3),
    )  # fmt: skip


def test_a_level_side_view_is_measured(drawn_tip) -> None:
    found = measure_tip(a_view(), drawn_tip(), 5.0)
    assert isinstance(found.gap, Length)
    assert found.gap.mm == pytest.approx(0.8, abs=0.015)
    assert found.gap_line is not None
    (col, under), (same, face) = found.gap_line
    assert col == same
    assert (face - under) / 31 == pytest.approx(0.8, abs=0.02)


@pytest.mark.parametrize(
    ("view", "off", "word"),
    [
        (a_view(ViewKind.END), 5.0, "end view"),
        (a_view(ViewKind.OBLIQUE, tilt=25.0), 5.0, "tilted 25 degrees"),
        (a_view(tilt=13.0), 5.0, "tilted 13 degrees"),
        (a_view(scale=NotMeasured("the thread is out of focus", "focus on the tip")), 5.0, "no scale"),
        (a_view(), 41.0, "41 degrees from profile"),
    ],
)
def test_a_view_that_cannot_show_the_gap_is_refused(drawn_tip, view: View, off: float, word: str) -> None:
    found = measure_tip(view, drawn_tip(), off)
    assert isinstance(found.gap, NotMeasured)
    assert word in found.gap.reason
    assert found.gap.remedy
    assert found.gap_line is None


def test_a_steep_look_gives_reasons_not_numbers(drawn_tip) -> None:
    found = measure_tip(a_view(ViewKind.OBLIQUE, tilt=52.0, u_tilt=1.0), drawn_tip(tilt=52.0), 5.0)
    assert isinstance(found.gap, NotMeasured)
    assert isinstance(found.edge_radius, NotMeasured)
    assert "above" in found.edge_radius.reason


def test_a_leg_before_the_gap_is_refused(drawn_tip) -> None:
    fine = drawn_tip()
    chances = fine.chances.copy()
    chances[:, :, 140:200] = 0
    chances[Part.GROUND_ELECTRODE, :, 140:200] = 1
    chances[Part.CENTRE_ELECTRODE, 169:, 140:143] = 1
    leg = replace(fine, chances=chances)
    found = measure_tip(a_view(), leg, 5.0)
    assert isinstance(found.gap, NotMeasured)


def test_without_an_electrode_nothing_is_measured(drawn_tip) -> None:
    chances = drawn_tip().chances.copy()
    chances[Part.BACKGROUND] += chances[Part.CENTRE_ELECTRODE]
    chances[Part.CENTRE_ELECTRODE] = 0
    found = measure_tip(a_view(), replace(drawn_tip(), chances=chances), 5.0)
    assert isinstance(found.gap, NotMeasured)
    assert isinstance(found.edge_radius, NotMeasured)


def seen(tip, tilt: float = 4.0, off: float = 3.0, pitch: float = 1.25 * 31) -> Segments:
    """Parts on which the networks read these numbers, each sure to a degree, and the pitch to 3 %."""
    pose = {"tilt_deg": Sighting(tilt, 1.0), "off_profile_deg": Sighting(off, 1.0)}
    labels = np.zeros((320, 320), np.uint8)
    read = pose | {"pitch_px": Sighting(pitch, 0.03 * pitch)}
    return Segments(labels, 0.9, labels, replace(tip, read=pose), read)


M14 = PlugSpec(thread="M14x1.25")


def test_tilts_that_agree_are_surer_together_and_a_contradiction_widens_the_result(drawn_tip) -> None:
    three = agreed(a_view(tilt=4.0, u_tilt=1.0), seen(drawn_tip()), M14).pose
    assert three.tilt_deg == pytest.approx(4.0)
    assert three.u_tilt_deg == pytest.approx(1 / 3**0.5)
    clash = pool((4.0, 1.0), (10.0, 1.0))
    assert clash[0] == pytest.approx(7.0)
    # Birge ratio: the difference of 6 is 4.24 times its uncertainty of 1.414
    assert clash[1] == pytest.approx(6 / 2**0.5 / 2**0.5)


def test_the_agreed_tilt_decides_what_kind_of_view_it_is(drawn_tip) -> None:
    steep = a_view(ViewKind.OBLIQUE, tilt=30.0, u_tilt=20.0)
    assert agreed(steep, seen(drawn_tip(), tilt=3.0), M14).pose.kind is ViewKind.SIDE
    end = a_view(ViewKind.END, tilt=80.0, u_tilt=5.0)
    assert agreed(end, seen(drawn_tip(), tilt=3.0), M14).pose == end.pose


def test_a_period_that_the_look_of_the_thread_contradicts_gives_no_scale(drawn_tip) -> None:
    # the view counted three turns as four: 4/3 of the true pixels per mm
    wrong = a_view(scale=Scale(1 / 31 / 1.33, 0.0003, "M14x1.25", 9))
    assert agreed(wrong, seen(drawn_tip()), M14).scale is UNSURE
    right = agreed(a_view(), seen(drawn_tip()), M14).scale
    assert isinstance(right, Scale)
    assert right.mm_per_px == pytest.approx(1 / 31, rel=1e-3)
    assert right.crests == 9


def test_a_thread_that_could_not_be_read_is_sized_by_its_look_if_it_is_known(drawn_tip) -> None:
    blurred = a_view(scale=NotMeasured("the thread can't be read", "focus on the thread"))
    found = agreed(blurred, seen(drawn_tip()), M14).scale
    assert isinstance(found, Scale)
    assert found.mm_per_px == pytest.approx(1 / 31)
    assert found.u_mm_per_px / found.mm_per_px == pytest.approx(0.03)
    assert isinstance(agreed(blurred, seen(drawn_tip()), PlugSpec()).scale, NotMeasured)


@pytest.mark.parametrize(("was", "true"), [(6.0, 1.0), (-5.0, 3.0), (20.0, 2.0)])
def test_a_scale_made_at_a_wrong_pose_is_set_right_by_the_agreed_one(
    drawn_tip, was: float, true: float
) -> None:
    # a pinhole 120 mm from the middle of an M14 thread, aimed between it and the gap 12 mm above: the periods that it shows
    focal, far, high, radius = 4000.0, 120.0, 12.0, 7.0
    near = radius / far
    period_px = focal * 1.25 * math.cos(math.radians(true) + high / far) / far
    sides_px = period_px / (1 - near**2)  # the silhouette lies r^2/D nearer than the axis
    reading = ThreadReading(
        period_px * (1 + FRONT_DEPTH * near), (sides_px, 1e-4 * sides_px), high / radius, (0.08, 0.03)
    )
    scale = scale_at(reading, "M14x1.25", 9, (was, 5.0), reading.nearness)
    wrong = a_view(ViewKind.SIDE, tilt=was, u_tilt=60.0, scale=scale)
    sure = {"tilt_deg": Sighting(true, 0.01)}
    looks = sure | {"pitch_px": Sighting(1.25 / scale.mm_per_px, 5.0), "nearness": Sighting(near, 1e-4)}
    bare = seen(drawn_tip())
    found = agreed(wrong, replace(bare, read=looks, tip=replace(bare.tip, read=sure)), M14).scale
    assert isinstance(found, Scale)
    # pinhole: the gap stands nearer than the thread's middle by its height times the sine of the tilt half way up
    gap_depth = far - high * math.sin(math.radians(true) + high / far / 2)
    truth = gap_depth / focal
    assert found.mm_per_px == pytest.approx(truth, rel=2e-3)
    assert abs(found.mm_per_px - truth) < abs(scale.mm_per_px - truth)
    assert found.u_mm_per_px < scale.u_mm_per_px


def test_a_strap_out_of_profile_is_seen_by_both_looks_together(drawn_tip) -> None:
    assert off_profile(seen(drawn_tip(), off=12.0)) == pytest.approx(12.0)
    bare = seen(drawn_tip())
    assert np.isnan(off_profile(replace(bare, read={}, tip=drawn_tip())))


def test_the_verb_fills_the_whole_catalogue_and_judges_the_gap(drawn_tip) -> None:
    labels = np.zeros((320, 320), np.uint8)
    labels[150:, 88:232] = Part.SHELL
    labels[118:150, 134:186] = Part.NOSE
    fine = drawn_tip(gap=1.3)
    segments = Segments(np.argmax(fine.chances, axis=0).astype(np.uint8), 0.95, labels, fine)
    features = measure(a_view(), segments, PlugSpec(thread="M14x1.25", gap_mm=(0.7, 0.9)))
    assert tuple(v.name for v in features.values) == tuple(e.name for e in CATALOGUE)
    assert features.value("gap_mm") == pytest.approx(1.3, abs=0.015)
    assert features.gap_warning is GapWarning.CLEARLY_WIDE
    assert features.overlay.dtype == np.uint8
    assert features.overlay.ndim == 3
    assert features.px_per_mm == pytest.approx(31.0)
    with pytest.raises(KeyError):
        features.value("smell")
