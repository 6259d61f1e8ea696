"""Refusals at the tip, each with its reason and a remedy; and one drawn plug measured through the room's verb."""

from dataclasses import replace

import numpy as np
import pytest

from plugsight.features import CATALOGUE, GapWarning, Length, measure
from plugsight.features.geometry import measure_tip, pooled_tilt
from plugsight.features.pooled import pool
from plugsight.segments.record import Part, Segments, Sighting
from plugsight.view.record import Pose, Scale, View, ViewKind
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
    found = measure_tip(a_view(), drawn_tip())
    assert isinstance(found.gap, Length)
    assert found.gap.mm == pytest.approx(0.8, abs=0.015)
    assert found.gap_line is not None
    (col, under), (same, face) = found.gap_line
    assert col == same
    assert (face - under) / 31 == pytest.approx(0.8, abs=0.02)


@pytest.mark.parametrize(
    ("view", "changes", "word"),
    [
        (a_view(ViewKind.END), {}, "end view"),
        (a_view(ViewKind.OBLIQUE, tilt=25.0), {}, "tilted 25 degrees"),
        (a_view(tilt=13.0), {}, "tilted 13 degrees"),
        (a_view(scale=NotMeasured("the thread is out of focus", "focus on the tip")), {}, "no scale"),
        (a_view(), {"off_profile_deg": Sighting(41.0, 4.0)}, "41 degrees from profile"),
    ],
)
def test_a_view_that_cannot_show_the_gap_is_refused(drawn_tip, view: View, changes: dict, word: str) -> None:
    found = measure_tip(view, replace(drawn_tip(), **changes))
    assert isinstance(found.gap, NotMeasured)
    assert word in found.gap.reason
    assert found.gap.remedy
    assert found.gap_line is None


def test_a_steep_look_gives_reasons_not_numbers(drawn_tip) -> None:
    found = measure_tip(a_view(ViewKind.OBLIQUE, tilt=52.0, u_tilt=1.0), drawn_tip(tilt=52.0))
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
    found = measure_tip(a_view(), leg)
    assert isinstance(found.gap, NotMeasured)


def test_without_a_tip_nothing_is_measured() -> None:
    found = measure_tip(a_view(), None)
    assert isinstance(found.gap, NotMeasured)
    assert isinstance(found.edge_radius, NotMeasured)


def test_two_tilts_are_pooled_and_a_contradiction_widens_the_result(drawn_tip) -> None:
    agree = pooled_tilt(a_view(tilt=4.0, u_tilt=1.0), replace(drawn_tip(), tilt_deg=Sighting(4.0, 1.0)))
    assert agree[0] == pytest.approx(4.0)
    assert agree[1] == pytest.approx(1 / 2**0.5)
    clash = pool((4.0, 1.0), (10.0, 1.0))
    assert clash[0] == pytest.approx(7.0)
    # Birge ratio: the difference of 6 is 4.24 times its uncertainty of 1.414
    assert clash[1] == pytest.approx(6 / 2**0.5 / 2**0.5)


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
