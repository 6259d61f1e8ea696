"""Quality flags of a photo: pinned numbers, so that stored inspections keep their meaning."""

from dataclasses import dataclass
from enum import IntEnum


class Quality(IntEnum):
    """What limits a photo. Numbers are stored: never reuse or renumber one (a test pins them)."""

    NO_CARD = 1
    CARD_CLIPPED = 2
    MIXED_LIGHT = 3
    TOO_DARK = 4
    TOO_BRIGHT = 5
    BLURRED = 6
    TOO_FEW_PIXELS = 7
    TILTED = 8
    STRAP_NOT_IN_PROFILE = 9
    SEVERAL_PLUGS = 10
    CUT_OFF = 11
    SHADED_NOSE = 12
    THREAD_CONTRADICTS_SPEC = 13
    NO_SCALE = 14
    CLEANED = 15


@dataclass(frozen=True, slots=True)
class QualityNote:
    """A flag with its numbers in words and the remedy ("move closer: 18 pixels per millimetre, 28 needed")."""

    flag: Quality
    words: str
    remedy: str
