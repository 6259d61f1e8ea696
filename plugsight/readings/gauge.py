"""The gap by wire gauge: it decides against the engine's figure."""

from plugsight.readings.gap_text import parse_gap_mm
from plugsight.readings.meter import standard_uncertainty
from plugsight.readings.record import Judgement, Reading, ReadingEntry
from plugsight.vocabulary.engine import Electrode, PlugSpec
from plugsight.vocabulary.errors import InputError

ROUNDING_MM = 0.005
"""Figures are written to 0.01 mm: 0.71 mm and 0.028 in (0.7112 mm) are the same gap."""
WIRE_HALF_STEP_MM = 0.02
"""How far the wire that drags slightly may be from the gap (from memory); told, but the gauge decides."""


def judge_gauge(entry: ReadingEntry, spec: PlugSpec, where: str) -> Reading:
    """Judge one gap against ``spec.gap_mm`` (inclusive); raises ``InputError`` on unusable text or electrode."""
    if spec.ground_electrodes == 0:
        raise InputError(
            where, "a surface-gap plug has no gap to gauge", "Leave the gap out for this plug.", entry.text
        )
    if not 1 <= entry.electrode <= spec.ground_electrodes:
        raise InputError(
            where,
            f"this plug has {spec.ground_electrodes} ground electrode(s)",
            "Number them from 1, or correct the plug's facts.",
            entry.electrode,
        )
    gap = parse_gap_mm(entry.text, where)
    judgement, words, remedy = _against(gap, spec)
    return Reading(
        place=entry.place,
        kind=entry.kind,
        text=entry.text,
        value=gap,
        over=None,
        u=standard_uncertainty(WIRE_HALF_STEP_MM),
        judgement=judgement,
        words=words,
        remedy=remedy,
        final=True,
        electrode=entry.electrode,
        after_cleaning=entry.after_cleaning,
    )


def _against(gap: float, spec: PlugSpec) -> tuple[Judgement, str, str]:
    if spec.gap_mm is None:
        return (
            Judgement.NO_SPEC,
            f"{gap:.2f} mm; no figure to judge by",
            "Look up the gap in the engine's own list.",
        )
    low, high = spec.gap_mm
    memory = " (one figure listed; tolerance from memory)" if spec.gap_tolerance_from_memory else ""
    limits = f"{low:.2f} to {high:.2f} mm{memory}"
    if low - ROUNDING_MM <= gap <= high + ROUNDING_MM:
        return Judgement.IN, f"{gap:.2f} mm, within {limits}", ""
    side = "wide" if gap > high else "closed"
    precious = spec.electrode is Electrode.PRECIOUS
    remedy = (
        "Fine-wire plug: don't reset it unless its maker allows."
        if precious and not spec.reset_allowed
        else "Set it by bending the strap only, never by prying on the centre electrode."
    )
    return Judgement.OUT, f"{gap:.2f} mm, too {side} for {limits}", remedy
