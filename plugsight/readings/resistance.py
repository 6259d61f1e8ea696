"""Resistance, terminal to centre electrode. No published limit is known: only the plug's own figure or an open fails it."""

import math

from plugsight.readings.guard import guarded
from plugsight.readings.meter import (
    limit_of_error_ohm,
    range_shown,
    range_to_set,
    say_ohm,
    standard_uncertainty,
)
from plugsight.readings.ohm_text import OverRange, parse_ohm
from plugsight.readings.record import Judgement, Reading, ReadingEntry
from plugsight.vocabulary.engine import Meter, PlugSpec

USUAL_OHM = (4e3, 8e3)
"""What resistor plugs usually read (common practice; no published limit known)."""
PLAIN_OHM = 100.0
"""A plug without a resistor reads next to nothing (from memory)."""
_OPEN_REMEDY = (
    "Turn the meter to its highest range, tighten a screw-on terminal nut, probe bare metal and read again. "
    "Some plugs hold a series gap and read open when good: look up the plug."
)


def expected_ohm(spec: PlugSpec) -> float:
    """Highest resistance to expect of the plug, in ohm, for choosing the range."""
    if spec.resistance_ohm is not None:
        return spec.resistance_ohm[1]
    return PLAIN_OHM if spec.resistor is False else USUAL_OHM[1]


def judge_resistance(entry: ReadingEntry, spec: PlugSpec, meter: Meter, where: str) -> Reading:
    """Judge one reading; raises ``InputError`` on unusable text."""
    seen = parse_ohm(entry.text, where)
    if isinstance(seen, OverRange):
        return _open(entry, _shown(seen, spec, meter, where))
    ohm = max(0.0, seen - meter.lead_ohm)
    error = limit_of_error_ohm(seen, meter)
    lead_error = limit_of_error_ohm(meter.lead_ohm, meter) if meter.lead_ohm else 0.0
    u = math.hypot(standard_uncertainty(error), standard_uncertainty(lead_error))
    judgement, words, remedy = _against(ohm, u, error, spec)
    return Reading(
        place=entry.place,
        kind=entry.kind,
        text=entry.text,
        value=ohm,
        over=None,
        u=u,
        judgement=judgement,
        words=words,
        remedy=remedy,
        final=True,
        after_cleaning=entry.after_cleaning,
    )


def _against(ohm: float, u: float, error: float, spec: PlugSpec) -> tuple[Judgement, str, str]:
    value = f"{say_ohm(ohm)} ± {say_ohm(error)} by this meter"
    if spec.resistance_ohm is not None:
        low, high = spec.resistance_ohm
        judgement = guarded(ohm, u, low, high)
        remedy = {
            Judgement.CANT_TELL_METER: "Read it again with a more accurate meter.",
            Judgement.OUT: "Probe bare metal and read again before you scrap it.",
        }.get(judgement, "")
        return (
            judgement,
            f"{value}: {judgement}; the plug's figure is {say_ohm(low)} to {say_ohm(high)}",
            remedy,
        )
    if spec.resistor is False and ohm <= PLAIN_OHM:
        return Judgement.NO_SPEC, f"{value}: reads low, as a plug without resistor does", ""
    if spec.resistor is not False and USUAL_OHM[0] <= ohm <= USUAL_OHM[1]:
        return Judgement.USUAL, f"{value}: {Judgement.USUAL}", ""
    remedy = "Wire-wound and 1 to 2 kOhm suppressors exist: look up the plug's own figure."
    if spec.resistor and ohm <= PLAIN_OHM:
        remedy = (
            "Reads like a plug without resistor: never fit one for a resistor plug on an electronic engine."
        )
    return Judgement.UNUSUAL, f"{value}: {Judgement.UNUSUAL}", remedy


def _shown(seen: OverRange, spec: PlugSpec, meter: Meter, where: str) -> float:
    advised = range_to_set(expected_ohm(spec), meter)
    highest = max(meter.ranges_ohm)
    return range_shown(seen.above_ohm, advised if isinstance(advised, float) else highest, meter, where)


def _open(entry: ReadingEntry, above: float) -> Reading:
    again = "again " if entry.after_cleaning else ""
    return Reading(
        place=entry.place,
        kind=entry.kind,
        text=entry.text,
        value=None,
        over=above,
        u=None,
        judgement=Judgement.OPEN,
        words=f"{again}open: more than {say_ohm(above)}",
        remedy="" if entry.after_cleaning else _OPEN_REMEDY,
        final=entry.after_cleaning,
        after_cleaning=entry.after_cleaning,
    )
