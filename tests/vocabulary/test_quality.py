"""Quality flags are stored as numbers: their meaning must never shift."""

from plugsight.vocabulary.quality import Quality


def test_stored_numbers_keep_their_meaning() -> None:
    assert {flag.name: flag.value for flag in Quality} == {
        "NO_CARD": 1,
        "CARD_CLIPPED": 2,
        "MIXED_LIGHT": 3,
        "TOO_DARK": 4,
        "TOO_BRIGHT": 5,
        "BLURRED": 6,
        "TOO_FEW_PIXELS": 7,
        "TILTED": 8,
        "STRAP_NOT_IN_PROFILE": 9,
        "SEVERAL_PLUGS": 10,
        "CUT_OFF": 11,
        "SHADED_NOSE": 12,
        "THREAD_CONTRADICTS_SPEC": 13,
        "NO_SCALE": 14,
        "CLEANED": 15,
    }
