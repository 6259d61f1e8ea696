"""The benchmark's own instruments, on shapes and lights whose truth is published or closed form."""

import json
import math

import cv2
import numpy as np
import pytest
from skimage.draw import disk

from plugsight.features.benchmark.case import Case
from plugsight.features.benchmark.decisions import said
from plugsight.features.benchmark.figures import Share, spread
from plugsight.features.benchmark.outlines import boundary_errors, overlap
from plugsight.features.benchmark.refusals import is_right
from plugsight.features.benchmark.relight import light_of, relight
from plugsight.features.benchmark.truth import PictureTruth, read_truth
from plugsight.features.record import GapWarning
from plugsight.segments.record import Part


@pytest.mark.parametrize(
    ("count", "of", "low", "high"),
    [
        # Clopper-Pearson at the ends has a closed form: 1 - 0.025 ** (1 / n)
        (0, 10, 0.0, 1 - 0.025**0.1),
        (10, 10, 0.025**0.1, 1.0),
        (500, 500, 0.025 ** (1 / 500), 1.0),
    ],
)
def test_binomial_interval_at_its_ends(count: int, of: int, low: float, high: float) -> None:
    assert Share(count, of).interval == pytest.approx((low, high), abs=1e-9)


def test_binomial_interval_of_nothing_is_everything() -> None:
    assert Share(0, 0).interval == (0.0, 1.0)
    assert str(Share(0, 0)) == "none"


def test_median_and_percentile_leave_out_what_was_not_measured() -> None:
    assert spread([0.1, -0.3, math.nan]).startswith("n 2: median 0.2000")
    assert spread([math.nan]) == "n 0"


def _disc(radius: float) -> np.ndarray:
    mask = np.zeros((201, 201), bool)
    mask[disk((100, 100), radius + 0.5)] = True
    return mask


def test_overlap_and_boundary_of_two_discs() -> None:
    # closed form: IoU of concentric discs is the ratio of their areas, their outlines are the difference of radii apart
    small, large = _disc(50), _disc(54)
    assert overlap(small, large) == pytest.approx((50.5 / 54.5) ** 2, abs=0.005)
    assert float(np.median(boundary_errors(small, large))) == pytest.approx(4.0, abs=0.5)
    assert boundary_errors(np.zeros_like(small), large).size == 0


def test_a_black_body_at_2856_kelvin_is_illuminant_a() -> None:
    # CIE 15: illuminant A (a Planckian radiator at about 2856 K) has x 0.4476, y 0.4074
    rgb = light_of(2856.0)
    xyz = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]) @ rgb
    assert xyz[:2] / xyz.sum() == pytest.approx([0.4476, 0.4074], abs=0.004)


def test_relighting_follows_its_seed() -> None:
    grey = np.full((40, 40, 3), 118, np.uint8)
    one = relight(grey, np.random.default_rng(4))
    assert (one == relight(grey, np.random.default_rng(4))).all()
    assert (one != relight(grey, np.random.default_rng(5))).any()


def test_truth_is_read_as_the_renderer_wrote_it(tmp_path) -> None:
    plug = {
        "thread": "M14x1.25", "gap_wire_mm": 0.8, "gap_flat_mm": 0.77, "gap_axial": True, "edge_radius_mm": 0.1,
        "electrode_diameter_mm": 2.5, "strap_azimuths_deg": [0.0], "strap_width_mm": 2.4,
        "nose_shares": [["ash", 0.6]], "gap_points_mm": [[0, 0, 2.0], [0, 0, 2.8]],
    }  # fmt: skip
    row = {
        "name": "000001_0", "kind": "side", "tilt_deg": 2.0, "strap_off_profile_deg": 4.0, "px_per_mm_gap": 33.0,
        "focus_error_mm": 0.1, "card_share": 0.4, "truth": plug,
        "projection": [[30.0, 0, 0, 100.0], [0, 0, -30.0, 200.0], [0, 0, 0, 1.0]],
    }  # fmt: skip
    (tmp_path / "truth.jsonl").write_text(
        json.dumps(row) + "\n" + json.dumps({"name": "000002_0", "object": "bolt"})
    )
    mask = np.zeros((300, 300), np.uint8)
    mask[100:130, 50:110] = Part.CENTRE_ELECTRODE
    (tmp_path / "masks").mkdir()
    cv2.imwrite(str(tmp_path / "masks" / "000001_0.png"), mask)
    (truth,) = read_truth(tmp_path)
    assert truth.deposit == "ash"
    # 60 x 30 pixels at 33 a millimetre
    assert truth.electrode_shown_mm * truth.electrode_mm == pytest.approx(60 * 30 / 33**2)
    assert truth.project(truth.gap_point_mm) == pytest.approx([100.0, 200.0 - 30.0 * 2.4])


def a_truth(**known: object) -> PictureTruth:
    usual: dict = {
        "name": "1", "kind": "side", "thread": "M14x1.25", "tilt_deg": 2.0, "off_profile_deg": 3.0, "px_per_mm": 33.0,
        "gap_wire_mm": 0.8, "gap_flat_mm": 0.8, "gap_axial": True, "edge_radius_mm": 0.1, "electrode_mm": 2.5,
        "electrodes": 1, "deposit": "ash", "focus_error_mm": 0.0, "card_share": 0.4, "projection": np.eye(3, 4),
        "gap_point_mm": np.zeros(3), "strap_width_mm": 2.5, "electrode_shown_mm": 1.4,
    }  # fmt: skip
    return PictureTruth(**(usual | known))


@pytest.mark.parametrize(
    ("reason", "known", "right"),
    [
        (
            "the plug is tilted 14 degrees to the line of sight, at most 12 are allowed",
            {"tilt_deg": 13.0},
            True,
        ),
        (
            "the plug is tilted 14 degrees to the line of sight, at most 12 are allowed",
            {"tilt_deg": 4.0},
            False,
        ),
        (
            "the strap is turned 33 degrees from profile, at most 30 are allowed",
            {"off_profile_deg": 34.0},
            True,
        ),
        (
            "the strap is turned 33 degrees from profile, at most 30 are allowed",
            {"off_profile_deg": 8.0},
            False,
        ),
        ("the electrodes look joined: a deposit bridges the gap", {"gap_wire_mm": 0.1}, True),
        ("the electrodes look joined: a deposit bridges the gap", {}, False),
        ("the centre electrode is not seen in this view", {"electrode_shown_mm": 0.1}, True),
        ("the centre electrode is not seen in this view", {}, False),
        ("no scale: the thread can't be read", {"tilt_deg": 30.0}, False),
    ],
)
def test_a_refusal_is_right_when_the_truth_breaks_the_limit_it_names(
    reason: str, known: dict, right: bool
) -> None:
    assert is_right(Case(a_truth(**known), "", "", gap_reason=reason)) == right


@pytest.mark.parametrize(
    ("true", "mm", "word", "wrong"),
    [
        (1.3, 1.3, GapWarning.CLEARLY_WIDE, False),
        (1.12, 1.3, GapWarning.CLEARLY_WIDE, True),
        (0.8, 0.3, GapWarning.LOOKS_CLOSED, True),
        (0.81, 0.83, GapWarning.NEAR_SPEC, False),
    ],
)
def test_what_is_said_is_held_against_the_truth(
    true: float, mm: float, word: GapWarning, wrong: bool
) -> None:
    case = Case(a_truth(gap_wire_mm=true), "", "", gap_mm=mm, U_gap_mm=0.09)
    assert said(case, 0.05) == (word, wrong)
