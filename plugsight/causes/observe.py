"""All evidence of one engine as a list of findings, each about one thing once."""

from collections.abc import Iterable, Iterator

from plugsight.causes.catalogue import Catalogue, Level
from plugsight.causes.circumstances import bank_of, circumstances
from plugsight.causes.evidence import Evidence
from plugsight.causes.looks import finding_id, looks
from plugsight.causes.measured import measured
from plugsight.causes.seen import Seen
from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.engine import EngineFacts, Place
from plugsight.vocabulary.errors import InputError
from plugsight.vocabulary.outcomes import CheckOutcome

_DAMAGE = frozenset(map(finding_id, Damage))


def observe(evidence: Evidence, knowledge: Catalogue) -> tuple[Seen, ...]:
    """Return what is known, in bench order: context, plugs, readings, check outcomes.

    Damage that is marked on one plug of a set, and on another that was looked at neither marked nor denied, counts as
    not there on that other: a set is read by comparing. Where two say opposite things about the same thing, a check's outcome replaces what was told before, the last one
    counting; otherwise what is present stays.

    Raises
    ------
    InputError
        For outcomes of unknown checks, or of a check on a cylinder that does not say which; all of them at once.

    """
    found: dict[tuple[object, ...], Seen] = {}
    for seen in _told(evidence):
        before = found.get(seen.spot)
        if before is None or seen.present:
            found[seen.spot] = seen
    for seen in _not_marked(evidence, found.values(), knowledge):
        found.setdefault(seen.spot, seen)
    for seen in _checked(evidence, knowledge):
        found[seen.spot] = seen
    return tuple(found.values())


def _told(evidence: Evidence) -> Iterator[Seen]:
    yield from circumstances(evidence.context, evidence.engine)
    for confirmation in evidence.confirmations:
        compared = confirmation.place not in evidence.context.not_compared
        yield from looks(confirmation, compared=compared)
        if compared:
            yield from measured(evidence.readings, confirmation.place, evidence.spec)


def _not_marked(evidence: Evidence, told: Iterable[Seen], knowledge: Catalogue) -> Iterator[Seen]:
    marked = dict.fromkeys(s.finding for s in told if s.present and s.finding in _DAMAGE)
    for confirmation in evidence.confirmations:
        if confirmation.seen and confirmation.place not in evidence.context.not_compared:
            for finding in marked:
                words = f"{knowledge.findings[finding].here} not marked"
                yield Seen(finding, present=False, place=confirmation.place, told=words)


def _checked(evidence: Evidence, knowledge: Catalogue) -> Iterator[Seen]:
    problems = [p for outcome in evidence.outcomes for p in _wrong(outcome, evidence.engine, knowledge)]
    if problems:
        known = sorted({check for check, _ in knowledge.outcomes})
        raise InputError("check outcomes", "; ".join(problems), f"Checks are: {', '.join(known)}.")
    for outcome in evidence.outcomes:
        yield from outcome_findings(outcome, evidence.engine, knowledge)


def outcome_findings(outcome: CheckOutcome, engine: EngineFacts, knowledge: Catalogue) -> Iterator[Seen]:
    """Yield what one outcome shows, at the depth of each finding; a bank's check without a bank means all banks."""
    cylinder = outcome.cylinder or 1
    banks = range(1, max(1, len(engine.banks)) + 1) if outcome.bank is None else (outcome.bank,)
    for finding, present in knowledge.outcomes[outcome.check, outcome.outcome].items():
        match knowledge.findings[finding].level:
            case Level.PLUG:
                for position in engine.positions:
                    yield Seen(finding, present, place=Place(cylinder, position))
            case Level.CYLINDER:
                yield Seen(finding, present, cylinder=cylinder)
            case Level.BANK:
                for bank in banks:
                    yield Seen(finding, present, bank=bank_of(engine, bank))
            case Level.ENGINE:
                yield Seen(finding, present)


def outcome_level(check: str, knowledge: Catalogue) -> Level:
    """Return the level of what a check shows (one level per check, as loading makes sure)."""
    shows = next(shows for (name, _), shows in knowledge.outcomes.items() if name == check)
    return knowledge.findings[next(iter(shows))].level


def _wrong(outcome: CheckOutcome, engine: EngineFacts, knowledge: Catalogue) -> Iterator[str]:
    if (outcome.check, outcome.outcome) not in knowledge.outcomes:
        possible = [o for check, o in knowledge.outcomes if check == outcome.check]
        if possible:
            yield f"'{outcome.check}' can't end in '{outcome.outcome}', only in {', '.join(possible)}"
        else:
            yield f"there is no check '{outcome.check}'"
        return
    if outcome.cylinder is not None and not 1 <= outcome.cylinder <= engine.cylinders:
        yield f"'{outcome.check}': the engine has no cylinder {outcome.cylinder}"
    elif (
        outcome_level(outcome.check, knowledge) in (Level.PLUG, Level.CYLINDER)
        and outcome.cylinder is None
        and engine.cylinders > 1
    ):
        yield f"'{outcome.check}' is done on one cylinder: say which"
    if outcome.bank is not None and not 1 <= outcome.bank <= max(1, len(engine.banks)):
        yield f"'{outcome.check}': the engine has no bank {outcome.bank}"
