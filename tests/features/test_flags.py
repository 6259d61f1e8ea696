"""Flags that need the parts: each raised where it should be, and only there."""

import math

import pytest

from plugsight.features.flags import flags_on
from plugsight.view.record import Pose, ViewKind
from plugsight.vocabulary.quality import Quality

LIT = {"nose_shaded": 0.9, "nose_band_tip_L": 70.0, "nose_band_root_L": 66.0}
SHADED = {"nose_shaded": 0.9, "nose_band_tip_L": 70.0, "nose_band_root_L": 40.0}
SOOTED = {"nose_shaded": 0.2, "nose_band_tip_L": 70.0, "nose_band_root_L": 30.0}


@pytest.mark.parametrize(("values", "raised"), [(LIT, False), (SHADED, True), (SOOTED, False), ({}, False)])
def test_a_nose_is_shaded_where_it_darkens_without_changing_colour(values: dict, raised: bool) -> None:
    flags = [note.flag for note in flags_on(Pose(ViewKind.OBLIQUE, 0.0, 30.0, 1.0), math.nan, values)]
    assert flags == ([Quality.SHADED_NOSE] if raised else [])


@pytest.mark.parametrize(
    ("kind", "degrees", "raised"),
    [
        (ViewKind.SIDE, 26.0, True),
        (ViewKind.SIDE, 12.0, False),
        (ViewKind.SIDE, math.nan, False),
        (ViewKind.OBLIQUE, 60.0, False),
    ],
)
def test_a_strap_out_of_profile_is_flagged_in_a_side_view(
    kind: ViewKind, degrees: float, raised: bool
) -> None:
    notes = flags_on(Pose(kind, 0.0, 2.0, 1.0), degrees, {})
    assert [note.flag for note in notes] == ([Quality.STRAP_NOT_IN_PROFILE] if raised else [])
    assert all("26 degrees" in note.words and note.remedy for note in notes)


@pytest.mark.parametrize(
    ("kind", "tilt", "word"),
    [
        (ViewKind.SIDE, 10.0, "onto the end"),
        (ViewKind.SIDE, -10.0, "from below"),
        (ViewKind.SIDE, 7.0, ""),
        (ViewKind.OBLIQUE, 30.0, ""),
    ],
)
def test_a_tilt_beyond_eight_degrees_is_flagged_in_a_side_view(
    kind: ViewKind, tilt: float, word: str
) -> None:
    notes = flags_on(Pose(kind, 0.0, tilt, 1.0), 3.0, {})
    assert [note.flag for note in notes] == ([Quality.TILTED] if word else [])
    assert all(word in note.words and "10 degrees" in note.words and note.remedy for note in notes)
