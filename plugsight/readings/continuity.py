"""Continuity, ground electrode to shell: it must sound (common practice, no source)."""

import math

from plugsight.readings.meter import limit_of_error_ohm, say_ohm, standard_uncertainty
from plugsight.readings.ohm_text import OverRange, parse_ohm
from plugsight.readings.record import Judgement, Reading, ReadingEntry
from plugsight.vocabulary.engine import Meter

_SOUNDS = frozenset({"sounds", "sound", "beeps", "beep", "buzzes", "tone", "yes", "ok"})
_SILENT = frozenset({"silent", "no", "no sound", "no beep", "does not sound", "doesn't sound"})
BUZZER_OHM = 30.0
"""Where the meter shows a number instead: buzzers sound below about this (from memory)."""
_REMEDY = (
    "Usually carbon between probe and metal: clean with a plastic brush and a suitable cleaner, let it dry, "
    "test again; still open: replace."
)


def judge_continuity(entry: ReadingEntry, meter: Meter, where: str) -> Reading:
    """Judge ``sounds``, ``silent``, ``OL`` or a number in ohm; raises ``InputError`` on anything else."""
    said = " ".join(entry.text.lower().split())
    value = u = over = None
    if said in _SOUNDS or said in _SILENT:
        sounds, shown = said in _SOUNDS, ""
    else:
        seen = parse_ohm(entry.text, f"{where} (or write 'sounds' or 'silent')", bare_decimals=True)
        if isinstance(seen, OverRange):
            sounds, shown, over = False, "over range: ", seen.above_ohm
        else:
            value = max(0.0, seen - meter.lead_ohm)
            errors = (seen, meter.lead_ohm) if meter.lead_ohm else (seen,)
            u = math.hypot(*(standard_uncertainty(limit_of_error_ohm(e, meter)) for e in errors))
            sounds, shown = value <= BUZZER_OHM, f"{say_ohm(value)} without the leads: "
    judgement = Judgement.SOUNDS if sounds else Judgement.NO_SOUND
    again = " again, after cleaning" if entry.after_cleaning and not sounds else ""
    return Reading(
        place=entry.place,
        kind=entry.kind,
        text=entry.text,
        value=value,
        over=over,
        u=u,
        judgement=judgement,
        words=f"{shown}{judgement}{again}",
        remedy="" if sounds or entry.after_cleaning else _REMEDY,
        final=sounds or entry.after_cleaning,
        after_cleaning=entry.after_cleaning,
    )
