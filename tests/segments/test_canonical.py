"""Cleaning of the part map, and how a crop's pixels land on the view."""

import numpy as np
import pytest

from plugsight.segments.canonical import clean_labels
from plugsight.segments.full_size import carry_to_view
from plugsight.segments.record import Part, TipMap
from plugsight.segments.tip_window import FINER, GAP_DOWN, SIZE, tip_crop, tip_window
from plugsight.view.record import Pose, View, ViewKind
from plugsight.vocabulary.refusal import NotMeasured


def chances_of(labels: np.ndarray, sure: float = 0.9) -> np.ndarray:
    rest = (1 - sure) / 4
    return np.stack([np.where(labels == p, sure, rest) for p in Part]).astype(np.float32)


def a_view(pixels: np.ndarray, to_view: np.ndarray) -> View:
    nothing = NotMeasured("drawn", "none")
    return View(
        photo_name="drawn", photo_digest="0" * 64, pixels=pixels, plug=np.zeros(pixels.shape[:2], bool),
        canonical=np.zeros((320, 320, 3), np.uint8), canonical_to_view=to_view, axis_col=0.0, face_row=0.0,
        card=nothing, pose=Pose(ViewKind.SIDE, 0.0, 0.0, 1.0), scale=nothing, to_photo=np.eye(2, 3),
    )  # fmt: skip


def test_an_island_of_nose_goes_to_what_surrounds_it() -> None:
    labels = np.zeros((320, 320), np.uint8)
    labels[100:200, 100:200] = Part.SHELL
    labels[50:100, 120:160] = Part.NOSE
    labels[150:155, 150:155] = Part.NOSE
    chances = chances_of(labels)
    chances[Part.SHELL, 150:155, 150:155] = 0.09
    cleaned = clean_labels(chances)
    assert (cleaned[150:155, 150:155] == Part.SHELL).all()
    assert (cleaned[50:100, 120:160] == Part.NOSE).all()


def test_two_ground_electrodes_are_kept() -> None:
    labels = np.zeros((320, 320), np.uint8)
    labels[50:90, 80:95] = Part.GROUND_ELECTRODE
    labels[50:90, 200:215] = Part.GROUND_ELECTRODE
    assert (clean_labels(chances_of(labels)) == labels).all()


@pytest.mark.parametrize("step", [1.0, 2.3])
def test_labels_land_where_the_crop_was_cut(step: float) -> None:
    labels = np.zeros((320, 320), np.uint8)
    labels[100:200, 120:220] = Part.NOSE
    to_view = np.array([[step, 0, 37.0], [0, step, 11.0]])
    view = a_view(np.zeros((900, 900, 3), np.float32), to_view)
    elsewhere = TipMap(chances_of(labels, 1.0), np.array([[1.0, 0, 5000.0], [0, 1.0, 5000.0]]), 1.0)
    found = carry_to_view(chances_of(labels, 1.0), labels, elsewhere, view)
    rows, cols = np.nonzero(found == Part.NOSE)
    # a border lies half a crop pixel outside the first and last pixel; pixel centres are at whole numbers
    assert rows.min() - 0.5 == pytest.approx(11 + step * 99.5, abs=0.51)
    assert rows.max() + 0.5 == pytest.approx(11 + step * 199.5, abs=0.51)
    assert cols.min() - 0.5 == pytest.approx(37 + step * 119.5, abs=0.51)
    assert found[0, 0] == Part.BACKGROUND


def test_the_tip_window_is_centred_on_the_electrodes_face() -> None:
    labels = np.zeros((320, 320), np.uint8)
    labels[110:130, 150:171] = Part.CENTRE_ELECTRODE
    to_view = np.array([[2.0, 0, 5.0], [0, 2.0, -3.0]])
    window = tip_window(labels, ViewKind.SIDE, to_view)
    middle = window @ np.array([(SIZE - 1) / 2, GAP_DOWN * (SIZE - 1), 1.0])
    assert middle == pytest.approx([2 * 160 + 5, 2 * 110 - 3], abs=1.0)
    assert window[0, 0] == pytest.approx(2.0 / FINER)


def test_without_a_centre_electrode_the_window_lies_where_the_frame_puts_the_gap() -> None:
    window = tip_window(np.zeros((320, 320), np.uint8), ViewKind.OBLIQUE, np.eye(2, 3))
    middle = window @ np.array([(SIZE - 1) / 2, GAP_DOWN * (SIZE - 1), 1.0])
    assert middle == pytest.approx([159.5, 0.35 * 320])


def test_an_end_view_is_looked_at_round_its_middle_and_as_fine() -> None:
    labels = np.zeros((320, 320), np.uint8)
    labels[10:30, 20:40] = Part.CENTRE_ELECTRODE
    window = tip_window(labels, ViewKind.END, np.eye(2, 3))
    assert window @ np.array([(SIZE - 1) / 2, (SIZE - 1) / 2, 1.0]) == pytest.approx([159.5, 159.5])
    side = tip_window(labels, ViewKind.SIDE, np.eye(2, 3))
    # M14: 45 % of 320 px across in a side view, 80 % in an end view, magnified to the same pixels per mm
    assert 0.80 / window[0, 0] == pytest.approx(0.45 / side[0, 0], rel=0.02)


def test_tip_crop_shows_the_place_it_was_cut_from() -> None:
    pixels = np.zeros((600, 600, 3), np.float32)
    pixels[300:310, 280:290] = 1.0
    for step in (0.5, 1.0, 2.0):
        window = np.array([[step, 0, 284.5 - step * 159.5], [0, step, 304.5 - step * 159.5]])
        crop = tip_crop(pixels, window)
        # code 188 is half of linear white (IEC 61966-2-1)
        row, col = np.nonzero(crop[..., 0] > 188)
        assert row.mean() == pytest.approx(159.5, abs=0.6)
        assert col.mean() == pytest.approx(159.5, abs=0.6)
        assert np.ptp(row) + 1 == pytest.approx(10 / step, abs=1.1)


def test_a_tip_outside_the_photo_is_card_grey() -> None:
    crop = tip_crop(np.zeros((50, 50, 3), np.float32), np.array([[2.0, 0, 5000.0], [0, 2.0, 5000.0]]))
    assert (crop == 118).all()
