"""What a multimeter can tell: which range to set, and how far its display may be off."""

import math

from plugsight.vocabulary.engine import Meter
from plugsight.vocabulary.errors import InputError
from plugsight.vocabulary.refusal import NotMeasured

LEAD_LIMIT_OHM = 1.0
"""Test leads above this are worth replacing (a meter maker's advice, read in a restatement; usual: 0.2 to 0.5)."""


def check_meter(meter: Meter) -> None:
    """Raise ``InputError`` where ranges or accuracy can't be those of a meter."""
    where = "meter"
    if not meter.ranges_ohm or any(r <= 0 or not math.isfinite(r) for r in meter.ranges_ohm):
        raise InputError(
            where, "ohm ranges are numbers above zero", "List the ranges on its dial.", meter.ranges_ohm
        )
    if meter.percent < 0 or meter.counts < 0 or meter.display_counts < 1 or meter.lead_ohm < 0:
        raise InputError(
            where,
            "accuracy, counts and lead resistance can't be negative",
            "Copy ±(% + counts) from its manual and touch the probes together for the leads.",
        )
    if meter.lead_ohm > 100 * LEAD_LIMIT_OHM:
        raise InputError(
            where,
            "test leads never have so much resistance",
            "Touch the probes together and read again.",
            meter.lead_ohm,
        )


def range_to_set(expected_ohm: float, meter: Meter) -> float | NotMeasured:
    """Return the lowest range above what is expected, in ohm (common practice, no source).

    4 to 8 kilohm expected (8e3): the 20 k range. ``math.inf`` or an auto-ranging meter: the highest range.
    """
    highest = max(meter.ranges_ohm)
    if meter.auto_ranging or math.isinf(expected_ohm):
        return highest
    above = [r for r in meter.ranges_ohm if r > expected_ohm]
    if not above:
        return NotMeasured(
            f"this meter's highest range, {say_ohm(highest)}, does not reach {say_ohm(expected_ohm)}",
            "Use a meter with a higher ohm range.",
        )
    return min(above)


def limit_of_error_ohm(reading_ohm: float, meter: Meter) -> float:
    """Return half the width a of the meter's ±(percent of reading + counts), in ohm, on the range that showed it.

    A count is the least digit on that range: range end / ``display_counts``. A published worked example:
    120 V on the 600.0 V range of a 6000-count meter, 1 % + 3, gives ±1.5 V.
    """
    fitting = [r for r in meter.ranges_ohm if r >= reading_ohm]
    scale = min(fitting) if fitting else max(meter.ranges_ohm)
    return meter.percent / 100 * reading_ohm + meter.counts * scale / meter.display_counts


def range_shown(above_ohm: float | None, advised: float, meter: Meter, where: str) -> float:
    """Return the end of the range that showed over range, in ohm: as written, else ``advised``.

    Raises
    ------
    InputError
        Where the range written is higher than any of the meter.

    """
    highest = max(meter.ranges_ohm)
    if above_ohm is not None and above_ohm > highest:
        raise InputError(
            where,
            f"the meter's highest range ends at {say_ohm(highest)}",
            "Correct the range, or list the meter's ranges.",
            say_ohm(above_ohm),
        )
    return above_ohm or advised


def standard_uncertainty(limit_of_error: float) -> float:
    """Standard uncertainty of a limit of error, rectangular: a / sqrt(3) (JCGM 100:2008, 4.3.7; NIST TN 1297)."""
    return limit_of_error / math.sqrt(3)


def say_ohm(ohm: float) -> str:
    """Write a resistance as said aloud: ``6.77 kOhm``, ``20 MOhm``, ``0.2 Ohm``."""
    for size, unit in ((1e6, "MOhm"), (1e3, "kOhm")):
        if ohm >= size:
            return f"{ohm / size:.3g} {unit}"
    return f"{ohm:.3g} Ohm"
