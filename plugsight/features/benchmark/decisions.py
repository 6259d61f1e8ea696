"""What would have been said of each gap against a specification, and how often that was wrong."""

from collections import Counter
from collections.abc import Iterator, Sequence

from plugsight.features.benchmark.case import Case
from plugsight.features.benchmark.figures import Share
from plugsight.features.record import GapWarning, Length
from plugsight.features.warning import judge_gap

MIDDLE_MM = (0.7, 0.8, 0.9, 1.0, 1.1)
"""Gaps that engine lists ask for (common practice); each picture is judged against the nearest, so most are near spec."""


def said(case: Case, tolerance_mm: float) -> tuple[GapWarning, bool]:
    """Return the warning for a measured gap, and whether the truth contradicts it."""
    true = case.truth.gap_wire_mm
    middle = min(MIDDLE_MM, key=lambda m: abs(m - true))
    low, high = middle - tolerance_mm, middle + tolerance_mm
    word = judge_gap(Length(case.gap_mm, case.U_gap_mm / 1.96, case.U_gap_mm), (low, high))
    wrong = (
        (word is GapWarning.IN_SPEC and not low <= true <= high)
        or (word is GapWarning.CLEARLY_WIDE and true <= high)
        or (word is GapWarning.LOOKS_CLOSED and true >= low)
    )
    return word, wrong


def lines(within: Sequence[Case], every: Sequence[Case]) -> Iterator[str]:
    """Yield the shares for specifications of ±0.05 and ±0.1 mm: ``within`` the stated limits, and of ``every`` axial gap."""
    for title, cases in (("within the limits", within), ("all", every)):
        measured = [c for c in cases if c.answered and c.truth.gap_axial]
        for tolerance in (0.05, 0.1):
            found = [said(c, tolerance) for c in measured]
            words = Counter(word for word, _ in found)
            wrong = Counter(word for word, bad in found if bad)
            shares = ", ".join(
                f"{w.value} {Share(words[w], len(measured))}, wrong {wrong[w]}"
                for w in GapWarning
                if words[w]
            )
            yield f"said against the nearest usual gap +/- {tolerance} mm, {title}: {shares}"
