"""From a photo to a view, or the reason why not."""

from pathlib import Path

import numpy as np
import pytest
import skimage.data

from plugsight.photo import Photo, read_photo
from plugsight.segments import find_parts
from plugsight.view import Card, Scale, View, ViewKind, take_view
from plugsight.vocabulary.engine import PlugSpec
from plugsight.vocabulary.refusal import NotFound, NotMeasured

# A rendered plug (M14x1.25) before an 18 % card, tilted between 12 and 34 degrees: see data/README.txt.
SAMPLE = Path(__file__).parent / "data" / "rendered_side.jpg"


@pytest.fixture(scope="module")
def view() -> View:
    taken = take_view(read_photo(SAMPLE), PlugSpec(thread="M14x1.25"))
    assert isinstance(taken, View)
    return taken


def test_a_rendered_plug_is_stood_upright_to_scale_and_in_neutral_light(view: View) -> None:
    assert view.pose.kind in (ViewKind.SIDE, ViewKind.OBLIQUE)
    assert 5 < view.pose.tilt_deg < 40
    assert isinstance(view.scale, Scale)
    assert isinstance(view.card, Card)
    # The card comes out at 0.18 in every channel; its own unevenness is what u_gain says.
    rows, cols = np.nonzero(view.card.mask)
    photo = read_photo(SAMPLE).pixels
    spots = photo[(rows / view.card.mask_scale).astype(int), (cols / view.card.mask_scale).astype(int)] / 255
    linear = np.where(spots <= 0.04045, spots / 12.92, ((spots + 0.055) / 1.055) ** 2.4) * view.card.gain
    np.testing.assert_allclose(np.median(linear, axis=0), 0.18, atol=0.18 * 3 * view.card.u_gain)


def test_the_canonical_crop_holds_to_its_contract(view: View) -> None:
    assert view.canonical.shape == (320, 320, 3)
    assert view.canonical.dtype == np.uint8
    step = view.canonical_to_view[0, 0]
    # Thread's major diameter: 45 % of the width. M14 as cut is 13.76 to 13.97 mm (ISO 965-1, 6g).
    assert isinstance(view.scale, Scale)
    assert 0.45 * 320 * step * view.scale.mm_per_px == pytest.approx(13.87, rel=0.08)
    middle = view.canonical_to_view @ np.array([159.5, 0, 1])
    assert middle[0] == pytest.approx(view.axis_col, abs=1.0)


def test_view_and_photo_are_joined_by_a_similarity(view: View) -> None:
    linear = view.to_photo[:, :2]
    np.testing.assert_allclose(linear.T @ linear, np.eye(2) * np.linalg.det(linear), atol=1e-9)
    assert np.linalg.det(linear) > 0


PICTURES = ("astronaut", "brick", "camera", "cat", "cell", "clock", "coffee", "coins", "page", "rocket")


@pytest.mark.parametrize("name", PICTURES)
def test_pictures_of_other_things_are_refused_with_a_reason(name: str) -> None:
    pixels = np.asarray(getattr(skimage.data, name)())
    if pixels.ndim == 2:
        pixels = np.repeat(pixels[..., None], 3, axis=2)
    found = take_view(Photo(name, "", np.ascontiguousarray(pixels[..., :3])), PlugSpec())
    if isinstance(found, View):  # something that might be one is handed on for its parts to decide
        assert not found.proven
        found = find_parts(found, PlugSpec())
    assert isinstance(found, NotFound)
    assert found.reason
    assert found.remedy


@pytest.mark.parametrize("level", [0, 128, 255])
def test_an_empty_picture_is_refused(level: int) -> None:
    taken = take_view(Photo("empty", "", np.full((300, 400, 3), level, np.uint8)), PlugSpec())
    assert isinstance(taken, NotFound)


def test_a_thread_that_the_spec_does_not_know_leaves_the_scale_open() -> None:
    taken = take_view(read_photo(SAMPLE), PlugSpec(thread="W3/8"))
    assert isinstance(taken, View)
    assert isinstance(taken.scale, NotMeasured)
    assert "thread" in taken.scale.remedy
