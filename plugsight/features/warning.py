"""What a photo may say of a gap. Guard bands as wide as the expanded uncertainty: it warns, a wire gauge decides."""

from plugsight.features.record import GapWarning, Length
from plugsight.vocabulary.refusal import NotMeasured


def judge_gap(gap: Length | NotMeasured, limits_mm: tuple[float, float] | None) -> GapWarning:
    """Judge ``gap`` against the permitted lowest and highest gap, mm.

    Acceptance limits lie ``U`` inside the tolerance (guarded acceptance, JCGM 106:2012, 8.3.2), rejection limits ``U``
    outside (8.3.3). Below them a gap only looks closed: on the frozen renders 39 of the 40 wide ones and 16 of the 18 closed
    ones were so (±0.05 mm about the nearest usual gap, 2026-11-26), and earlier networks took soot for a closed gap. "In" needs a tolerance wider than ``2 U`` by itself. A gap
    that was not measured is "gauge it".
    """
    if limits_mm is None:
        return GapWarning.NO_SPEC
    if isinstance(gap, NotMeasured):
        return GapWarning.NEAR_SPEC
    low, high = limits_mm
    if gap.mm - gap.U_mm > high:
        return GapWarning.CLEARLY_WIDE
    if gap.mm + gap.U_mm < low:
        return GapWarning.LOOKS_CLOSED
    if low + gap.U_mm <= gap.mm <= high - gap.U_mm:
        return GapWarning.IN_SPEC
    return GapWarning.NEAR_SPEC
