"""The gauge readings of one plug over an engine's inspections, from the last time it can only be the same plug."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from plugsight.casebook.wear import GapReading
from plugsight.flow import Inspection, readings_of
from plugsight.readings import ReadingKind
from plugsight.readings.gauge import WIRE_HALF_STEP_MM
from plugsight.readings.meter import standard_uncertainty
from plugsight.vocabulary.engine import Place

U_MM = standard_uncertainty(WIRE_HALF_STEP_MM)
"""Standard uncertainty of one gauge reading, mm."""
TELLS_APART_MM = 2 * math.sqrt(2) * U_MM
"""Two gauge readings further apart than this differ (two readings, coverage factor 2; JCGM 100:2008, 5.1.2)."""


@dataclass(frozen=True, slots=True)
class Gauged:
    """The gap as it came out and as it went back in, mm: of several straps the widest, which reaches the limit first."""

    found: float
    left: float


@dataclass(frozen=True, slots=True)
class GapSeries:
    """Readings in the order of driving. ``scale`` names what km count from: ``odometer`` or ``on these plugs``."""

    readings: tuple[GapReading, ...]
    scale: str


def gauged(inspection: Inspection, place: Place) -> Gauged | None:
    """Return the gap by wire gauge at one inspection, or None where it was not gauged or the engine has no such plug."""
    if place not in {case.place for case in inspection.plugs}:
        return None
    found: dict[int, float] = {}
    left: dict[int, float] = {}
    for reading in readings_of(inspection).of(place, ReadingKind.GAUGE):
        if reading.value is not None:
            # a later reading corrects an earlier one of the same strap
            (left if reading.after_cleaning else found)[reading.electrode] = reading.value
    if not found and not left:
        return None
    first, last = found or left, left or found
    return Gauged(max(first.values()), max(last.values()))


def gap_series(past: Sequence[Inspection], place: Place) -> GapSeries:
    """Follow one plug over the inspections, oldest first; inspections without a gap or without the km are left out.

    A plug that was moved or is newer than its set, km on the plugs that fell, an odometer that ran backwards, and a gap
    smaller by more than the gauge tells apart all begin the series anew: what was read before was another plug, or a
    gap set again without a note.
    """
    scales: tuple[tuple[str, Callable[[Inspection], float | None]], ...] = (
        ("odometer", lambda one: one.context.odometer_km),
        ("on these plugs", lambda one: one.context.km_on_plugs),
    )
    seen = [(one, gap) for one in past if (gap := gauged(one, place)) is not None]
    name, scale = max(scales, key=lambda s: sum(s[1](one) is not None for one, _ in seen))
    readings: list[GapReading] = []
    before: tuple[Inspection, Gauged, float] | None = None
    for one, gap in seen:
        km = scale(one)
        if km is None:
            continue
        if before is None or _another(before, (one, gap, km), place):
            readings = []
        elif before[1].found != before[1].left:
            # cleaned and set at the inspection before: from there on the gap is on a line of its own
            readings.append(GapReading(before[2], before[1].left, readings[-1].setting + 1))
        setting = readings[-1].setting if readings else 0
        readings.append(GapReading(km, gap.found, setting))
        before = one, gap, km
    return GapSeries(tuple(readings), name)


def _another(
    before: tuple[Inspection, Gauged, float], now: tuple[Inspection, Gauged, float], place: Place
) -> bool:
    earlier, was, km_then = before
    later, gap, km_now = now
    on_plugs = earlier.context.km_on_plugs, later.context.km_on_plugs
    renewed = on_plugs[0] is not None and on_plugs[1] is not None and on_plugs[1] < on_plugs[0]
    return (
        renewed
        or km_now < km_then
        or place in later.context.not_compared
        or gap.found < was.left - TELLS_APART_MM
    )
