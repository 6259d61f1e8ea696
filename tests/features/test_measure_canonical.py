"""Colour, texture and coarse shape on painted crops whose truth is how they were painted."""

import math

import cv2
import numpy as np
import pytest
from skimage.color import rgb2lab

from plugsight.features import CANONICAL_NAMES, measure_canonical
from plugsight.features.regions import canonical_px_per_mm
from plugsight.segments import Part
from plugsight.view.record import ViewKind

SCALE = canonical_px_per_mm(ViewKind.SIDE, 14.0)


def painted_labels() -> np.ndarray:
    """Shell 144 wide from row 150, nose 52 wide from 118, electrode 26 wide from 100, strap from 77 to 92 with its leg."""
    labels = np.zeros((320, 320), np.uint8)
    labels[150:, 88:232] = Part.SHELL
    labels[118:150, 134:186] = Part.NOSE
    labels[100:118, 147:173] = Part.CENTRE_ELECTRODE
    labels[77:92, 140:225] = Part.GROUND_ELECTRODE
    labels[92:150, 210:225] = Part.GROUND_ELECTRODE
    return labels


def painted(nose: tuple[int, int, int], rest: tuple[int, int, int] = (120, 120, 120)) -> np.ndarray:
    crop = np.full((320, 320, 3), rest, np.uint8)
    crop[painted_labels() == Part.NOSE] = nose
    return crop


def values(
    crop: np.ndarray, labels: np.ndarray | None = None, kind: ViewKind = ViewKind.SIDE
) -> dict[str, float]:
    labels = painted_labels() if labels is None else labels
    return {v.name: v.value for v in measure_canonical(crop, kind, labels, SCALE)}


@pytest.mark.parametrize(
    ("colour", "lab"),
    [
        # sRGB primaries under D65, as published with common colour tables (53.24/80.09/67.20 and so on)
        ((255, 0, 0), (53.24, 80.09, 67.20)),
        ((0, 255, 0), (87.73, -86.18, 83.18)),
        ((0, 0, 255), (32.30, 79.19, -107.86)),
    ],
)
def test_median_colour_of_a_painted_nose(
    colour: tuple[int, int, int], lab: tuple[float, float, float]
) -> None:
    found = values(painted(colour))
    assert found["nose_L"] == pytest.approx(lab[0], abs=0.05)
    # a* and b* are clipped to the catalogue's range of -60 to 80
    assert found["nose_a"] == pytest.approx(min(max(lab[1], -60), 80), abs=0.05)
    assert found["nose_b"] == pytest.approx(min(max(lab[2], -60), 80), abs=0.05)


def test_card_grey_reads_the_lightness_of_18_percent() -> None:
    # CIE 15: L* of 18 % reflectance is 49.496; 18 % in sRGB is code 117.65 (IEC 61966-2-1), 118 here
    assert values(painted((118, 118, 118)))["nose_L"] == pytest.approx(49.496, abs=0.2)


def test_shares_are_the_painted_areas() -> None:
    crop = painted((225, 222, 218))
    crop[118:134, 134:186] = (12, 12, 12)  # upper half of the nose's rows
    found = values(crop)
    assert found["nose_dark_share"] == pytest.approx(0.5, abs=0.04)
    assert found["nose_white_share"] == pytest.approx(0.5, abs=0.04)
    assert found["nose_red_share"] == 0.0
    assert found["nose_ring_place"] == pytest.approx(0.5, abs=0.06)
    assert found["nose_ring_step"] > 60


def test_a_flat_nose_has_no_grain_and_a_speckled_one_has() -> None:
    flat = values(painted((150, 140, 120)))
    rng = np.random.default_rng(3)
    crop = painted((150, 140, 120))
    spots = rng.random((320, 320)) < 0.03
    crop[
        cv2.dilate(spots.astype(np.uint8), np.ones((2, 2), np.uint8)).astype(bool)
        & (painted_labels() == Part.NOSE)
    ] = 30
    rough = values(crop)
    assert flat["nose_grain_0100"] < 0.1
    assert flat["nose_dark_specks"] == 0.0
    assert rough["nose_grain_0100"] > 2.0
    assert rough["nose_dark_specks"] > 0.5
    assert rough["nose_lbp_flat"] < flat["nose_lbp_flat"]


@pytest.mark.parametrize("closer", [1.0, 1.6])
def test_grain_in_millimetres_does_not_depend_on_how_close_the_photo_was(closer: float) -> None:
    """A sine of 0.8 mm: a difference of Gaussians passes exp(-2 (pi s f)^2) of it at s 0.2 less that at s 0.4 mm."""
    labels = np.zeros((320, 320), np.uint8)
    labels[60:260, 60:260] = Part.NOSE
    wave = 20 * np.sin(2 * np.pi * np.arange(320) / (0.8 * SCALE * closer))
    crop = np.ascontiguousarray(np.broadcast_to((140 + wave)[None, :, None], (320, 320, 3))).astype(np.uint8)
    found = {v.name: v.value for v in measure_canonical(crop, ViewKind.SIDE, labels, SCALE * closer)}
    rms = float(np.std(rgb2lab(crop)[60:260, 60:260, 0]))
    passed = math.exp(-2 * (math.pi * 0.2 / 0.8) ** 2) - math.exp(-2 * (math.pi * 0.4 / 0.8) ** 2)
    assert found["nose_grain_0400"] == pytest.approx(rms * passed, rel=0.03)


def test_gloss_spots_are_counted_and_kept_out_of_the_colour() -> None:
    crop = painted((20, 20, 20))
    dull = values(crop)
    crop[125:128, 140:146] = 250
    crop[135:138, 160:166] = 250
    shiny = values(crop)
    assert dull["nose_highlight_share"] == 0.0
    # two spots of 18 pixels on a nose of 30 x 50 inner pixels
    assert shiny["nose_highlight_share"] == pytest.approx(36 / 1500, abs=0.01)
    assert shiny["nose_L"] == pytest.approx(dull["nose_L"], abs=0.1)
    assert shiny["nose_highlight_sharpness"] > 120


def test_coarse_shape_is_the_painted_one() -> None:
    found = values(painted((200, 190, 170)))
    assert found["gap_coarse"] == pytest.approx(8 / SCALE, abs=0.5 / SCALE)
    assert found["electrode_width"] == pytest.approx(26 / SCALE, abs=0.5 / SCALE)
    assert found["electrode_squareness"] == 1.0
    assert found["nose_height"] == pytest.approx(32 / SCALE, abs=1 / SCALE)
    assert found["strap_thickness"] == pytest.approx(15 / SCALE, abs=0.5 / SCALE)
    assert found["strap_slope"] == pytest.approx(0.0, abs=0.1)
    assert found["gap_bridged_share"] == 0.0


def test_a_bridge_is_seen() -> None:
    labels = painted_labels()
    labels[92:100, 155:165] = Part.GROUND_ELECTRODE
    assert values(painted((200, 190, 170)), labels)["gap_bridged_share"] == pytest.approx(10 / 26, abs=0.02)


def test_a_strap_that_rises_to_its_free_end_slopes_up_on_either_side() -> None:
    labels = painted_labels()
    labels[77:92, 140:210] = 0
    for col in range(140, 211):
        rise = round((210 - col) * math.tan(math.radians(10)))
        labels[77 - rise : 92 - rise, col] = Part.GROUND_ELECTRODE
    crop = painted((200, 190, 170))
    left = values(crop, labels)["strap_slope"]
    right = values(crop[:, ::-1], np.ascontiguousarray(labels[:, ::-1]))["strap_slope"]
    assert left == pytest.approx(10, abs=1.5)
    assert right == pytest.approx(left, abs=0.5)


def test_mirroring_changes_nothing() -> None:
    rng = np.random.default_rng(5)
    crop = rng.integers(20, 230, (320, 320, 3), dtype=np.uint8)
    crop = cv2.GaussianBlur(crop, (0, 0), 1.5)
    labels = painted_labels()
    labels[:, :160] = labels[:, 160:][
        :, ::-1
    ]  # a shape that is its own mirror image, so that only colour is mirrored
    one, other = values(crop, labels), values(np.ascontiguousarray(crop[:, ::-1]), labels)
    for name in CANONICAL_NAMES:
        if name.startswith("nose_lbp") or math.isnan(one[name]):
            continue
        assert other[name] == pytest.approx(one[name], rel=0.02, abs=0.03), name


def test_values_follow_the_catalogue_and_stay_in_range() -> None:
    found = measure_canonical(painted((200, 190, 170)), ViewKind.SIDE, painted_labels(), SCALE)
    assert tuple(v.name for v in found) == CANONICAL_NAMES


def test_nothing_seen_is_nan_not_zero() -> None:
    found = values(painted((200, 190, 170)), np.zeros((320, 320), np.uint8))
    assert math.isnan(found["nose_L"])
    assert math.isnan(found["gap_coarse"])
    assert math.isnan(found["strap_grain_0200"])


def test_an_end_view_shows_no_heights() -> None:
    found = values(painted((200, 190, 170)), kind=ViewKind.END)
    assert math.isnan(found["gap_coarse"])
    assert math.isnan(found["nose_height"])
    assert math.isfinite(found["nose_L"])
