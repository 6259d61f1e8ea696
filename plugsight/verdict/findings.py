"""What is found on one plug: reasons, open questions, and the action they come to."""

from collections.abc import Iterator
from dataclasses import dataclass

from plugsight.causes.evidence import Evidence
from plugsight.causes.sources import cite
from plugsight.confirmation.record import Confirmation
from plugsight.verdict.meter_findings import meter_findings
from plugsight.verdict.open_question import OpenQuestion, answered, holds
from plugsight.verdict.record import Action, VerdictReason
from plugsight.verdict.rules import ACTIONS, questions, rules
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.engine import EngineFacts, Fuel, Place

_CLEAN_FUELS = {Fuel.ALCOHOL, Fuel.LPG, Fuel.CNG}
FEW_KM, FEW_HOURS = 500.0, 10.0
"""Under this a bare nose is the expected look (common practice); hours as the trade's look-again interval."""


@dataclass(frozen=True, slots=True)
class PlugFindings:
    """Reasons most serious first, what is still to look at, and whether something has to be cleaned off.

    ``asks`` holds every open question while ``action`` waits for it, else only those that could make it more serious.
    """

    action: Action
    reasons: tuple[VerdictReason, ...]
    asks: tuple[OpenQuestion, ...]
    dirty: bool


def plug_findings(evidence: Evidence, place: Place) -> PlugFindings:
    """Collect what one plug's confirmation and readings ask for; the most serious action wins."""
    found: list[VerdictReason | OpenQuestion] = []
    confirmation = evidence.of(place)
    if confirmation is None:
        found.append(OpenQuestion("this plug: nobody has decided it", Action.REPLACE))
    else:
        if not confirmation.seen:
            found.append(OpenQuestion("the firing end: photograph it again or look by eye", Action.STOP))
        found.extend(_rule_reasons(confirmation, evidence.engine))
    dirty = any(isinstance(f, VerdictReason) and f.action is Action.CLEAN for f in found)
    found.extend(meter_findings(evidence.readings, place, evidence.spec))
    reasons = sorted((f for f in found if isinstance(f, VerdictReason)), key=lambda r: r.action)
    asks = [f for f in found if isinstance(f, OpenQuestion)]
    worst = reasons[0].action if reasons else Action.NOT_DECIDED
    if confirmation is not None:
        cleaning = any(r.action is Action.CLEAN for r in reasons)
        asks.extend(_open_questions(confirmation, evidence, cleaning=cleaning))
    if worst is Action.NOT_DECIDED and not asks:
        asks.append(
            OpenQuestion("the nose again: what was seen and what the bench tests say do not agree", worst)
        )
    if worst > Action.CAUSE_FIRST and asks:
        worst = Action.NOT_DECIDED
    elif worst <= Action.CAUSE_FIRST:
        asks = [a for a in asks if a.serious < worst]
    return PlugFindings(worst, tuple(reasons), tuple(sorted(asks, key=lambda a: a.serious)), dirty)


def _rule_reasons(confirmation: Confirmation, engine: EngineFacts) -> Iterator[VerdictReason]:
    for rule in rules():
        applies = not rule.stroke or engine.stroke in rule.stroke
        if applies and holds(confirmation, rule.when) and not holds(confirmation, rule.unless):
            yield VerdictReason(ACTIONS[rule.action], rule.words, cite(rule.source))


def _open_questions(
    confirmation: Confirmation, evidence: Evidence, *, cleaning: bool
) -> Iterator[OpenQuestion]:
    for question in questions():
        asked = {
            "always": True,
            "clean": cleaning,
            "found": holds(confirmation, question.when),
            "white": confirmation.dominant is Deposit.BARE and not _bare_expected(evidence),
        }[question.asked]
        if asked and not answered(confirmation, question.ask, question.or_absent):
            yield OpenQuestion(question.words, ACTIONS[question.serious])


def _bare_expected(evidence: Evidence) -> bool:
    context = evidence.context
    few_km = context.km_on_plugs is not None and context.km_on_plugs < FEW_KM
    few_hours = context.hours_on_plugs is not None and context.hours_on_plugs < FEW_HOURS
    return few_km or few_hours or evidence.engine.fuel in _CLEAN_FUELS
