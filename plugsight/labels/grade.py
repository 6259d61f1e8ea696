"""How far a confirmed label can be trusted."""

from plugsight.confirmation import Confirmation
from plugsight.labels.record import Grade
from plugsight.vocabulary.bench import CANT_TELL, BenchQuestion
from plugsight.vocabulary.outcomes import RepairOutcome

TELLING = (BenchQuestion.WIPE, BenchQuestion.SMELL, BenchQuestion.SCRATCH, BenchQuestion.LENS)
"""Bench tests that tell deposits apart better than the eye does (common practice, no source)."""


def grade_of(confirmation: Confirmation, repair: RepairOutcome | None) -> Grade:
    """Grade one label: proven where the repair named a cause and the finding went away, else by the bench tests done."""
    if repair is not None and repair.causes and repair.finding_gone:
        return Grade.PROVEN
    tested = any(confirmation.answer(q) not in (None, CANT_TELL) for q in TELLING)
    return Grade.BENCH if tested else Grade.EYE
