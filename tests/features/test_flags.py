"""Flags that need the parts: each raised where it should be, and only there."""

import math
from dataclasses import replace

import pytest

from plugsight.features.flags import flags_on
from plugsight.segments.record import Sighting
from plugsight.view.record import ViewKind
from plugsight.vocabulary.quality import Quality

LIT = {"nose_shaded": 0.9, "nose_band_tip_L": 70.0, "nose_band_root_L": 66.0}
SHADED = {"nose_shaded": 0.9, "nose_band_tip_L": 70.0, "nose_band_root_L": 40.0}
SOOTED = {"nose_shaded": 0.2, "nose_band_tip_L": 70.0, "nose_band_root_L": 30.0}


@pytest.mark.parametrize(("values", "raised"), [(LIT, False), (SHADED, True), (SOOTED, False), ({}, False)])
def test_a_nose_is_shaded_where_it_darkens_without_changing_colour(values: dict, raised: bool) -> None:
    flags = [note.flag for note in flags_on(ViewKind.OBLIQUE, None, values)]
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
    drawn_tip, kind: ViewKind, degrees: float, raised: bool
) -> None:
    fine = replace(drawn_tip(), off_profile_deg=Sighting(degrees, 3.0))
    notes = flags_on(kind, fine, {})
    assert [note.flag for note in notes] == ([Quality.STRAP_NOT_IN_PROFILE] if raised else [])
    assert all("26 degrees" in note.words and note.remedy for note in notes)
