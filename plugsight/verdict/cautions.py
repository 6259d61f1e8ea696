"""Which cautions apply to an engine, and which to one of its plugs."""

from collections.abc import Iterable, Sequence

from plugsight.causes.codes import CodeKind, parse_code
from plugsight.causes.evidence import Evidence
from plugsight.confirmation.record import Confirmation
from plugsight.vocabulary.bench import BenchQuestion
from plugsight.vocabulary.cautions import CAUTIONS, Caution, CautionFor
from plugsight.vocabulary.engine import Place

_MISFIRES = {CodeKind.MISFIRE_CYLINDER, CodeKind.MISFIRE_RANDOM}


def cautions_for(evidence: Evidence) -> tuple[str, ...]:
    """Cautions for the whole engine, in the order they are needed."""
    return tuple(
        c.text
        for c in CAUTIONS
        if c.shown_for is CautionFor.ENGINE and _facts(c, evidence) and _found(c, evidence.confirmations)
    )


def plug_cautions(evidence: Evidence, place: Place, *, cleaning: bool) -> tuple[str, ...]:
    """Cautions that one plug's findings, or its cleaning, call for."""
    confirmation = evidence.of(place)
    seen = (confirmation,) if confirmation is not None else ()
    return tuple(
        c.text
        for c in CAUTIONS
        if _facts(c, evidence)
        and (
            (c.shown_for is CautionFor.PLUG and _found(c, seen))
            or (c.shown_for is CautionFor.CLEANING and cleaning)
        )
    )


def _facts(caution: Caution, evidence: Evidence) -> bool:
    engine = evidence.engine
    aluminium = () if caution.head_aluminium is None else (caution.head_aluminium,)
    asked: Iterable[tuple[Sequence[object], object]] = (
        (caution.stroke, engine.stroke),
        (caution.cooling, engine.cooling),
        (caution.ignition, engine.ignition),
        (caution.fuel_system, engine.fuel_system),
        (caution.fuel, engine.fuel),
        (caution.use, engine.use),
        (aluminium, engine.head_aluminium),
    )
    facts = all(
        not wanted or fact in wanted or (fact is None and caution.also_unknown) for wanted, fact in asked
    )
    return facts and (not caution.complaints or _complains(caution, evidence))


def _complains(caution: Caution, evidence: Evidence) -> bool:
    codes = {parse_code(code).kind for code in evidence.context.codes}
    return bool({*caution.complaints} & {*evidence.context.complaints} or codes & _MISFIRES)


def _found(caution: Caution, confirmations: Sequence[Confirmation]) -> bool:
    if not (caution.deposits or caution.damage or caution.liquid):
        return True
    for confirmation in confirmations:
        if {*caution.deposits} & {*confirmation.deposits} or {*caution.damage} & {*confirmation.damage}:
            return True
        liquid = confirmation.answer(BenchQuestion.LIQUID)
        if caution.liquid and liquid not in (None, "none", "can't tell"):
            return True
    return False
