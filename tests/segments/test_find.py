"""Parts as proof: a plug whose thread no one can read is still a plug if its nose and electrodes show it clearly."""

from pathlib import Path

import cv2
import numpy as np
import pytest

from plugsight.photo import Photo, read_photo
from plugsight.segments import Segments, find, find_parts
from plugsight.view import View, take_view
from plugsight.vocabulary.engine import PlugSpec
from plugsight.vocabulary.refusal import NotFound

FOLDER = Path(__file__).parents[2] / "data_synthetic" / "benchmark_oblique" / "images"
M12 = PlugSpec(thread="M12x1.25")


@pytest.fixture(scope="module")
def photo() -> Photo:
    """A plug seen steeply from above: its thread is foreshortened to a few faint lines."""
    return read_photo(FOLDER / "000019_0.jpg")


def test_clear_parts_prove_a_plug_that_shows_no_clear_thread(photo: Photo) -> None:
    view = take_view(photo, M12)
    assert isinstance(view, View)
    assert not view.proven
    assert isinstance(find_parts(view, M12), Segments)


@pytest.mark.parametrize("bar", ["PROOF", "TIP_PROOF"])
def test_parts_that_are_not_clear_enough_prove_nothing(
    photo: Photo, bar: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    view = take_view(photo, M12)
    assert isinstance(view, View)
    monkeypatch.setattr(find, bar, 1.01)
    found = find_parts(view, M12)
    assert isinstance(found, NotFound)
    assert "thread" in found.reason
    assert "thread" in found.remedy


def test_a_plug_washed_out_to_a_shadow_is_not_proven(photo: Photo) -> None:
    soft = cv2.GaussianBlur(photo.pixels, (0, 0), 9.0)
    faint = np.asarray(118 + 0.25 * (soft.astype(np.float32) - 118), np.uint8)
    view = take_view(Photo(photo.name, photo.digest, faint), M12)
    assert isinstance(view, NotFound) or isinstance(find_parts(view, M12), NotFound)
