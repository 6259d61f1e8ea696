"""The verb of the verdict room."""

from plugsight.causes.evidence import Evidence
from plugsight.causes.record import Causes
from plugsight.verdict.cautions import plug_cautions
from plugsight.verdict.findings import PlugFindings, plug_findings
from plugsight.verdict.gap_words import gap_words
from plugsight.verdict.record import Action, PlugVerdict, VerdictReason
from plugsight.verdict.repair_first import repair_first, troubles
from plugsight.verdict.steps import steps_for
from plugsight.vocabulary.engine import Place, Use

_FITTED = (Action.REPLACE, Action.CLEAN, Action.REFIT)
"""Actions after which a plug goes back in: not before the engine is cleared."""


def decide(evidence: Evidence, place: Place, causes: Causes) -> PlugVerdict:
    """Say what becomes of one plug: the most serious action that any confirmed finding asks for.

    Nothing milder than "find the cause first" while a question is open: then "not decided: look at ...", never refit.
    Aircraft: findings only. A plug that was not decided or marked "can't tell" is not decided; what its bench answers
    and readings ask for counts all the same. Where another plug stops the engine, the steps say so first.
    """
    found = plug_findings(evidence, place)
    if evidence.engine.use is Use.AIRCRAFT:
        return _aircraft(evidence, place, found)
    action = found.action
    seen = troubles(evidence.of(place))
    nothing_wrong = action is Action.REFIT or (action is Action.NOT_DECIDED and not seen)
    waits = (*_clear_first(found), *(_waits(evidence, place) if action in _FITTED else ()))
    return PlugVerdict(
        place=place,
        action=action,
        reasons=found.reasons,
        look_at=_look_at(found),
        repair_first=() if nothing_wrong else repair_first(causes, place, seen),
        steps=(*waits, *steps_for(action, evidence, dirty=found.dirty)),
        cautions=plug_cautions(evidence, place, cleaning=_cleaned(found)),
        gap_words=gap_words(evidence.readings, place, evidence.spec) if action is not Action.STOP else "",
    )


def _cleaned(found: PlugFindings) -> bool:
    """Whether the plug is to be cleaned, for good or before a reading is repeated."""
    if found.action is Action.CLEAN:
        return found.dirty
    return found.action is Action.NOT_DECIDED and (found.dirty or any("clean" in a.words for a in found.asks))


def _look_at(found: PlugFindings) -> tuple[str, ...]:
    return tuple(dict.fromkeys(ask.words for ask in found.asks))


def _clear_first(found: PlugFindings) -> tuple[str, ...]:
    """Say that an open question could still stop the engine; a plug not decided waits anyhow."""
    if found.action not in (Action.REPLACE, Action.CAUSE_FIRST):
        return ()
    return tuple(
        dict.fromkeys(
            f"Before anything goes in or is cranked: {a.words}"
            for a in found.asks
            if a.serious is Action.STOP
        )
    )


def _waits(evidence: Evidence, place: Place) -> tuple[str, ...]:
    """Say that the other plugs hold this one back: nothing goes in while one of them stops the engine."""
    actions = {
        c.place: plug_findings(evidence, c.place).action for c in evidence.confirmations if c.place != place
    }
    stopped = [str(p) for p, action in actions.items() if action is Action.STOP]
    if stopped:
        return (f"Fit nothing and don't crank until the engine is cleared: see plug {', '.join(stopped)}.",)
    causes_first = [str(p) for p, action in actions.items() if action is Action.CAUSE_FIRST]
    if causes_first:
        return (f"No load on the engine until the cause at plug {', '.join(causes_first)} is found.",)
    return ()


def _aircraft(evidence: Evidence, place: Place, found: PlugFindings) -> PlugVerdict:
    """Findings, most serious first, then the approved data and a licensed person; a dropped plug is scrap."""
    told = []
    for reason in found.reasons:
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
        look_at=_look_at(found),
        repair_first=(),
        steps=("Findings only: the approved data decide, and a licensed person signs.",),
        cautions=plug_cautions(evidence, place, cleaning=False),
    )
