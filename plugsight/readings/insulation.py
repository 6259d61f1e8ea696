"""Insulation, centre electrode to shell: a hand-held meter finds a leak but can't prove insulation."""

from plugsight.readings.meter import limit_of_error_ohm, range_shown, say_ohm, standard_uncertainty
from plugsight.readings.ohm_text import OverRange, parse_ohm
from plugsight.readings.record import Judgement, Reading, ReadingEntry
from plugsight.vocabulary.engine import Meter
from plugsight.vocabulary.errors import InputError

BODY_OHM = (0.3e6, 3e6)
"""A body across the tips reads as a leak of about 1 MOhm (common practice); the width is from memory."""
_REMEDY = "Fingers off the tips, plug dry and at room temperature; clean, let it dry and read again."


def judge_insulation(entry: ReadingEntry, meter: Meter, where: str) -> Reading:
    """Judge one reading on the highest ohm range; raises ``InputError`` on unusable text."""
    seen = parse_ohm(entry.text, where)
    highest = max(meter.ranges_ohm)
    if isinstance(seen, OverRange):
        return _no_leak(entry, range_shown(seen.above_ohm, highest, meter, where), highest)
    if seen > highest:
        raise InputError(
            where,
            f"the meter's highest range ends at {say_ohm(highest)}",
            "Correct the reading, or list the meter's ranges.",
            entry.text.strip(),
        )
    ohm = max(0.0, seen - meter.lead_ohm)
    body = " (a body across the tips reads about 1 MOhm)" if BODY_OHM[0] <= ohm <= BODY_OHM[1] else ""
    still = "still there after cleaning, " if entry.after_cleaning else ""
    return Reading(
        place=entry.place,
        kind=entry.kind,
        text=entry.text,
        value=ohm,
        over=None,
        u=standard_uncertainty(limit_of_error_ohm(seen, meter)),
        judgement=Judgement.LEAK,
        words=f"leak of {say_ohm(ohm)}, {still}in or on the insulator{body}",
        remedy="" if entry.after_cleaning else _REMEDY,
        final=entry.after_cleaning,
        after_cleaning=entry.after_cleaning,
    )


def _no_leak(entry: ReadingEntry, above: float, highest: float) -> Reading:
    return Reading(
        place=entry.place,
        kind=entry.kind,
        text=entry.text,
        value=None,
        over=above,
        u=None,
        judgement=Judgement.NO_LEAK_SEEN,
        words=(
            f"no leak seen up to {say_ohm(above)} with this meter; glaze and hairline cracks leak only hot or "
            "at kilovolts"
        ),
        remedy="Read it again on the highest ohm range." if above < highest else "",
        final=above >= highest,
        after_cleaning=entry.after_cleaning,
    )
