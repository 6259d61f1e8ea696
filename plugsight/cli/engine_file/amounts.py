"""Numbers with their unit as written by hand: ``0.7-0.8 mm``, ``4-8 kOhm``, ``25 Nm``."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from pydantic_core import PydanticCustomError

from plugsight.readings import parse_gap_spec
from plugsight.vocabulary.errors import InputError

# The inch is 25.4 mm and the pound-force 4.448222 N exactly enough (international yard and pound, 1959).
LENGTH: Mapping[str, float] = MappingProxyType({"mm": 1.0, "in": 25.4, "inch": 25.4, '"': 25.4})
RESISTANCE: Mapping[str, float] = MappingProxyType(
    {"ohm": 1.0, "ω": 1.0, "kohm": 1e3, "kω": 1e3, "k": 1e3, "Mohm": 1e6, "Mω": 1e6, "M": 1e6}
)
"""``m`` is refused: milli and mega differ by 10^9."""
TORQUE: Mapping[str, float] = MappingProxyType({"nm": 1.0, "n·m": 1.0, "ft-lb": 1.355818, "lb-ft": 1.355818})

_NUMBER = r"(\d+(?:[.,]\d+)?|[.,]\d+)"
_AMOUNT = re.compile(rf"\s*{_NUMBER}\s*(?:(?:-|\u2013|to)\s*{_NUMBER})?\s*(\S*)\s*", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Amount:
    """Lowest and highest value in the base unit; equal where one figure was given."""

    low: float
    high: float


def refused(rule: str, remedy: str) -> PydanticCustomError:
    """Make the validation error that carries a rule and a remedy to the reader of the file."""
    return PydanticCustomError("plugsight", "{rule}", {"rule": rule, "remedy": remedy})


def amount(written: object, units: Mapping[str, float], example: str) -> Amount:
    """Read a figure or a range; without a unit, or with another quantity's, it is refused.

    Decimal comma and point are both read.
    """
    found = _AMOUNT.fullmatch(written) if isinstance(written, str) else None
    if found is None:
        raise refused("this is not a figure with its unit", f'Write it like "{example}".')
    first, second, unit = found.groups()
    # Mega keeps its capital, everything else is read in any case.
    mega = unit.startswith("M") and "M" in units
    factor = units.get("M" + unit[1:].lower() if mega else unit.lower())
    if factor is None:
        known = ", ".join(name.replace("ohm", "Ohm") for name in units if name.isascii() and name != '"')
        rule = f"unit '{unit}' doesn't belong here" if unit else "the unit is missing"
        raise refused(rule, f'Use one of: {known}; like "{example}".')
    low = float(first.replace(",", ".")) * factor
    high = low if second is None else float(second.replace(",", ".")) * factor
    if high < low:
        raise refused("the range runs backwards", f'Write the lower figure first, like "{example}".')
    return Amount(round(low, 6), round(high, 6))


def gap(written: object) -> tuple[tuple[float, float], bool]:
    """Read a permitted gap in mm, by the readings room's rules, and whether its tolerance is from memory."""
    if not isinstance(written, str):
        raise refused("this is not a figure with its unit", 'Write it like "0.7-0.8 mm".')
    try:
        low, high, from_memory = parse_gap_spec(written)
    except InputError as problem:
        raise refused(problem.rule, problem.remedy) from problem
    return (round(low, 4), round(high, 4)), from_memory


def ohms(written: object) -> tuple[float, float]:
    """Read a resistance or a range of it, in ohm."""
    seen = amount(written, RESISTANCE, "4-8 kOhm")
    return seen.low, seen.high


def ohm(written: object) -> float:
    """Read one resistance, in ohm."""
    return amount(written, RESISTANCE, "20 kOhm").high


def millimetres(written: object) -> float:
    """Read one length, in mm."""
    return amount(written, LENGTH, "2.5 mm").high


def newton_metres(written: object) -> tuple[float, float]:
    """Read a torque or a range of it, in Nm."""
    seen = amount(written, TORQUE, "20-25 Nm")
    return seen.low, seen.high
