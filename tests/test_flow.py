"""The flow's own promises: photos to a look, a look to what was shown."""

from pathlib import Path

import pytest

from plugsight.features import Features
from plugsight.flow import PhotoLook, look, look_at, places, shown
from plugsight.vocabulary.engine import EngineFacts, Place, PlugSpec
from plugsight.vocabulary.errors import InputError
from plugsight.vocabulary.refusal import Abstention, NotFound

DATA = Path(__file__).parent / "data"
SPEC = PlugSpec(thread="M14x1.25", gap_mm=(0.7, 0.8))


@pytest.fixture(scope="module")
def soot() -> PhotoLook:
    return look_at("soot.jpg", (DATA / "side_soot.jpg").read_bytes(), SPEC)


def test_a_photo_gives_parts_numbers_and_an_overlay(soot: PhotoLook) -> None:
    assert isinstance(soot.features, Features)
    assert soot.features.nose_lab is not None
    assert soot.features.nose_lab[0] < 35  # a sooty nose is dark
    assert soot.features.overlay.ndim == 3


def test_a_picture_without_a_plug_is_a_refusal_with_a_remedy() -> None:
    import cv2
    from skimage import data

    encoded = cv2.imencode(".png", data.coffee()[..., ::-1])[1].tobytes()
    seen = look_at("coffee.png", encoded, SPEC).features
    assert isinstance(seen, NotFound)
    assert seen.reason
    assert seen.remedy


def test_bytes_that_are_no_picture_are_an_error_that_names_the_file() -> None:
    with pytest.raises(InputError, match=r"notes\.txt"):
        look_at("notes.txt", b"gap 0.8", SPEC)


def test_a_cleaned_plug_is_no_evidence(soot: PhotoLook) -> None:
    cleaned = PhotoLook(soot.name, soot.digest, cleaned=True, features=soot.features)
    result = look([cleaned]).suggestion
    assert isinstance(result, Abstention)
    assert "as it came out" in result.reason


def test_what_was_shown_is_plain_words_and_blind_shows_nothing(soot: PhotoLook) -> None:
    seen = look([soot])
    assert shown(seen, blind=True).suggested == ()
    plain = shown(seen, blind=False)
    assert all(type(word) is str or isinstance(word, str) for word in plain.suggested)
    assert bool(plain.suggested) != bool(plain.abstained)


def test_twin_plug_heads_have_two_places_a_cylinder() -> None:
    twin = EngineFacts("Invented", cylinders=2, positions=("top", "bottom"))
    assert places(twin) == (Place(1, "top"), Place(1, "bottom"), Place(2, "top"), Place(2, "bottom"))
