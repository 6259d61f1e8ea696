"""Fuel trims: positive means that fuel is added, the control works against lean."""

from enum import StrEnum

from plugsight.vocabulary.errors import InputError

TRIM_THRESHOLD_PERCENT = 10.0
"""Beyond this a trim says something. Practice, not a standard: +10 and -10 are usual (read in a restatement)."""


class TrimSays(StrEnum):
    """What one trim says about the mixture that the control found."""

    LEAN = "works against lean: fuel added"
    RICH = "works against rich: fuel taken away"
    USUAL = "usual"


def decode_trim_byte(byte: int) -> float:
    """Return a trim in percent from the raw byte A of PIDs 06 to 09: (A - 128) * 100 / 128 (SAE J1979, restated).

    Raises
    ------
    InputError
        Where ``byte`` lies outside 0 to 255.

    """
    if not 0 <= byte <= 255:
        raise InputError(
            "fuel trim", "a raw trim is one byte, 0 to 255", "Copy the byte again, or enter percent.", byte
        )
    return (byte - 128) * 100 / 128


def trim_says(percent: float, threshold_percent: float = TRIM_THRESHOLD_PERCENT) -> TrimSays:
    """Read a trim in percent: above the threshold lean, below its negative rich, else usual."""
    if percent > threshold_percent:
        return TrimSays.LEAN
    if percent < -threshold_percent:
        return TrimSays.RICH
    return TrimSays.USUAL
