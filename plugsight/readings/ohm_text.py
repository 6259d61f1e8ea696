"""Resistances as people write them, and what a meter shows when a value is over its range."""

import re
from dataclasses import dataclass

from plugsight.readings.number import parse_number
from plugsight.vocabulary.errors import InputError


@dataclass(frozen=True, slots=True)
class OverRange:
    """The display showed over range: more than ``above_ohm``, no number and not infinity. None: range not said."""

    above_ohm: float | None = None


_UNITS = {
    **dict.fromkeys(("ohm", "ohms", "r", "\u03c9"), 1.0),
    **dict.fromkeys(("k", "kohm", "kohms", "kilohm", "kilohms", "k\u03c9", "kr"), 1e3),
    **dict.fromkeys(("Mohm", "Mohms", "megohm", "megohms", "meg", "M\u03c9", "M"), 1e6),
}
_OVER = re.compile(
    r"(?:o\.?l\.?|0\.?l|over ?load|over ?range|over|open|inf|infinite|infinity|\u221e|no reading)"
    r"(?:\s*(?:on|at|,|over)?\s*(?P<range>\d.*))?",
    re.IGNORECASE,
)
_LETTER_POINT = re.compile(r"(\d+)([kKMRr])(\d+)\s*(?:ohms?|\u03a9|\u2126)?")
_SPLIT = re.compile(r"\s*(?P<number>[\d.,\s'\u2019\u00a0\u202f+\u2212-]*?)\s*(?P<unit>[^\d\s.,'+-].*|)\s*")
SURE_OHM = 100.0
"""A bare whole number below this may be the display of a k or M range: the unit must be written."""


def parse_ohm(text: str, where: str = "resistance", *, bare_decimals: bool = False) -> float | OverRange:
    """Read one resistance in ohm: ``6.77k``, ``6770``, ``6,77 kΩ``, ``4k7``, ``1 MΩ``, ``OL``, ``OL 20M``, ``>20M``.

    A bare whole number is ohm. A bare decimal or small number (``6.77``, ``5``) could be the display of a k range
    and is refused unless ``bare_decimals`` (lowest range, continuity). ``1`` alone is what some meters show for over
    range and is refused. ``m`` is refused: milli and mega differ by 10^9.

    Raises
    ------
    InputError
        Not one resistance, another unit, or ambiguous.

    """
    written = " ".join(text.split())
    over = _OVER.fullmatch(written)
    if over:
        return OverRange(None if over["range"] is None else _ohm(over["range"], where, bare_decimals=False))
    if written.startswith(">"):
        return OverRange(_ohm(written[1:], where, bare_decimals=False))
    return _ohm(written, where, bare_decimals=bare_decimals)


def _ohm(written: str, where: str, *, bare_decimals: bool) -> float:
    point = _LETTER_POINT.fullmatch(written.strip())
    if point:
        whole, letter, part = point.groups()
        return float(f"{whole}.{part}") * _factor(letter, written, where)
    parts = _SPLIT.fullmatch(written)
    if parts is None or not parts["number"].strip():
        raise InputError(where, "no resistance found", "Write it like 6.77k, 6770, 1M or OL.", written)
    number, unit = parts["number"].strip(), parts["unit"].strip()
    if unit:
        return parse_number(number, where) * _factor(unit, written, where)
    value = parse_number(number, where)
    if number in ("1", "1.") and not bare_decimals:
        raise InputError(
            where,
            "a lone 1 is what some meters show for over range",
            "Write OL, or the unit: 1 ohm, 1k, 1M.",
            number,
        )
    whole_number = number.isdigit() or " " in number or "'" in number
    if not bare_decimals and value != 0 and (not whole_number or value < SURE_OHM):
        raise InputError(
            where,
            "without its unit this can be ohm, kilohm or megohm",
            f"Write the unit that the meter shows: {number}k or {number} ohm.",
            number,
        )
    return value


def _factor(unit: str, written: str, where: str) -> float:
    plain = unit.replace("\u2126", "\u03c9").replace("\u03a9", "\u03c9").replace(" ", "")
    if plain.startswith("m") and plain.lower() in ("m", "mohm", "mohms", "m\u03c9"):
        raise InputError(where, "a small m can mean milli or mega", "Write M for megohm.", written)
    mega = "M" + plain[1:].lower()
    if plain.startswith("M") and mega in _UNITS:
        return _UNITS[mega]
    if plain.lower() in _UNITS:
        return _UNITS[plain.lower()]
    raise InputError(
        where, "a resistance is in ohm, kilohm or megohm", "Write it like 6.77k, 6770, 1M or OL.", written
    )
