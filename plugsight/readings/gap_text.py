"""Gaps as people write them: millimetres or inches, one figure or a range."""

import re

from plugsight.readings.number import parse_number
from plugsight.vocabulary.errors import InputError

MM_PER_INCH = 25.4
GAP_LIMITS_MM = (0.3, 2.0)
"""Lowest and highest gap a plug can have (from memory): anything else is a slip or a wrong unit."""
DEFAULT_TOLERANCE_MM = 0.05
"""Either way where a list gives one figure (from memory, and shown as such)."""

_UNITS = {
    "mm": 1.0,
    "millimetre": 1.0,
    "millimetres": 1.0,
    "in": MM_PER_INCH,
    "in.": MM_PER_INCH,
    "inch": MM_PER_INCH,
    "inches": MM_PER_INCH,
    '"': MM_PER_INCH,
    "''": MM_PER_INCH,
    "\u2033": MM_PER_INCH,
    "\u201d": MM_PER_INCH,
    "thou": MM_PER_INCH / 1000,
    "mil": MM_PER_INCH / 1000,
    "mils": MM_PER_INCH / 1000,
}
_SPLIT = re.compile(r"\s*(?P<number>[\d.,\s'\u2019\u00a0\u202f+-]*?)\s*(?P<unit>[^\d\s.,'+-].*|''|)\s*")
_RANGE = re.compile(
    r"\s*(?P<low>.*?\d\.?\s*[^\d\s.,-]*?)\s*(?:-|\u2013|\u2014|\bto\b|\.\.)\s*(?P<high>[.,]?\d.*)"
)
_PLUS_MINUS = re.compile(r"\s*(?P<middle>.*?)\s*(?:\u00b1|\+/-|\+-)\s*(?P<either>.*)")


def parse_gap_mm(text: str, where: str = "gap") -> float:
    """Read one gap in mm: ``0.75``, ``0,75 mm``, ``0.028 in``, ``.030"``, ``28 thou``; bare numbers are mm.

    Raises
    ------
    InputError
        Not one gap, another unit than a length, or outside ``GAP_LIMITS_MM``.

    """
    number, unit = _split(text, where)
    return _within(_millimetres(number, unit, text, where), text, where)


def parse_gap_spec(text: str, where: str = "gap in the engine's list") -> tuple[float, float, bool]:
    """Read a permitted gap: (lowest mm, highest mm, tolerance from memory).

    ``0.7-0.8 mm``, ``0.028-0.031 in``, ``0.7 to 0.8``, ``0.8 ± 0.1``; one figure (``0.8``) gets
    ``DEFAULT_TOLERANCE_MM`` either way and True.

    Raises
    ------
    InputError
        As ``parse_gap_mm``, or where the first figure is the larger.

    """
    about = _PLUS_MINUS.fullmatch(text)
    if about:
        either, unit = _split(about["either"], where)
        middle, own = _split(about["middle"], where)
        half = _millimetres(either, unit or own or "mm", text, where)
        centre = _millimetres(middle, own or unit or "mm", text, where)
        return _within(centre - half, text, where), _within(centre + half, text, where), False
    both = _RANGE.fullmatch(text)
    if both is None:
        gap = parse_gap_mm(text, where)
        return gap - DEFAULT_TOLERANCE_MM, gap + DEFAULT_TOLERANCE_MM, True
    high, unit = _split(both["high"], where)
    low, own = _split(both["low"], where)
    lowest = _within(_millimetres(low, own or unit, text, where), text, where)
    highest = _within(_millimetres(high, unit, text, where), text, where)
    if lowest > highest:
        raise InputError(where, "the lower figure comes first", "Write the range as low-high.", text.strip())
    return lowest, highest, False


def _split(text: str, where: str) -> tuple[str, str]:
    parts = _SPLIT.fullmatch(text)
    if parts is None or not parts["number"].strip():
        raise InputError(where, "no gap found", "Write it like 0.75 mm or 0.028 in.", text.strip())
    return parts["number"], parts["unit"].strip().lower()


def _millimetres(number: str, unit: str, text: str, where: str) -> float:
    if unit and unit not in _UNITS:
        raise InputError(
            where, "a gap is a length in mm or inches", "Write it like 0.75 mm or 0.028 in.", text.strip()
        )
    value = parse_number(number, where)
    if not unit and not GAP_LIMITS_MM[0] <= value <= GAP_LIMITS_MM[1]:
        raise InputError(
            where,
            "a number without a unit is read as mm, and this is no gap in mm",
            "Write the unit: 0.75 mm, 0.030 in or 30 thou.",
            text.strip(),
        )
    return value * _UNITS[unit or "mm"]


def _within(mm: float, text: str, where: str) -> float:
    low, high = GAP_LIMITS_MM
    if not low <= mm <= high:
        raise InputError(
            where,
            f"a gap lies between {low} and {high} mm",
            "Check the figure and its unit.",
            f"{text.strip()} = {mm:.3g} mm",
        )
    return mm
