"""The verb of the verdict room."""

from collections.abc import Iterator

from plugsight.causes.evidence import Evidence
from plugsight.causes.record import Band, Causes
from plugsight.causes.sources import cite
from plugsight.confirmation.record import Confirmation
from plugsight.verdict.cautions import plug_cautions
from plugsight.verdict.gap_words import gap_words
from plugsight.verdict.meter_findings import meter_findings
from plugsight.verdict.open_question import OpenQuestion, answered, holds
from plugsight.verdict.record import Action, PlugVerdict, VerdictReason
from plugsight.verdict.rules import ACTIONS, questions, rules
from plugsight.verdict.steps import steps_for
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.engine import Context, EngineFacts, Fuel, Place, Use

_CLEAN_FUELS = {Fuel.ALCOHOL, Fuel.LPG, Fuel.CNG}
FEW_KM, FEW_HOURS = 500.0, 10.0
"""Under this a bare nose is the expected look (common practice); hours as the trade's look-again interval."""
NOTHING_TO_REPAIR = frozenset({"in_order", "new_plugs", "clean_fuel"})
"""Ids of causes that ask for no repair."""
MOST_REPAIRS = 3


def decide(evidence: Evidence, place: Place, causes: Causes) -> PlugVerdict:
    """Say what becomes of one plug: the most serious action that any confirmed finding asks for.

    Nothing milder than "find the cause first" while a question is open: then "not decided: look at ...", never refit.
    Aircraft: findings only. A plug that was not decided or marked "can't tell" is not decided; what its bench answers
    and readings ask for counts all the same.
    """
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
    if evidence.engine.use is Use.AIRCRAFT:
        return _aircraft(evidence, place, reasons, asks)
    return PlugVerdict(
        place=place,
        action=worst,
        reasons=tuple(reasons),
        look_at=tuple(dict.fromkeys(a.words for a in sorted(asks, key=lambda a: a.serious))),
        repair_first=_repair_first(causes, place) if worst is not Action.REFIT else (),
        steps=steps_for(worst, evidence, dirty=dirty),
        cautions=plug_cautions(evidence, place, cleaning=dirty and worst is Action.CLEAN),
        gap_words=gap_words(evidence.readings, place, evidence.spec) if worst is not Action.STOP else "",
    )


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
    context: Context = evidence.context
    few_km = context.km_on_plugs is not None and context.km_on_plugs < FEW_KM
    few_hours = context.hours_on_plugs is not None and context.hours_on_plugs < FEW_HOURS
    return few_km or few_hours or evidence.engine.fuel in _CLEAN_FUELS


def _repair_first(causes: Causes, place: Place) -> tuple[str, ...]:
    """What to repair before this plug or a new one runs: the causes still standing that reach its cylinder."""
    standing = [
        f"{c.name} ({c.site}): {c.repair}"
        for c in causes.ranked
        if c.band is not Band.UNLIKELY
        and c.id not in NOTHING_TO_REPAIR
        and place.cylinder in c.site.cylinders
    ]
    return tuple(standing[:MOST_REPAIRS])


def _aircraft(
    evidence: Evidence, place: Place, reasons: list[VerdictReason], asks: list[OpenQuestion]
) -> PlugVerdict:
    """Findings, most serious first, then the approved data and a licensed person; a dropped plug is scrap."""
    told = []
    for reason in reasons:
        words = reason.words
        if reason.action is Action.STOP:
            words += "; don't run or fly it"
        if words.startswith("dropped"):
            words += "; a dropped aircraft plug is scrap"
        told.append(VerdictReason(Action.FINDINGS_ONLY, words, reason.source))
    return PlugVerdict(
        place=place,
        action=Action.FINDINGS_ONLY,
        reasons=tuple(told),
        look_at=tuple(dict.fromkeys(a.words for a in sorted(asks, key=lambda a: a.serious))),
        repair_first=(),
        steps=("Findings only: the approved data decide, and a licensed person signs.",),
        cautions=plug_cautions(evidence, place, cleaning=False),
    )
