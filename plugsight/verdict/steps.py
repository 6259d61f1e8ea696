"""Cleaning steps, gap setting and refit rules that apply to one plug."""

from plugsight.causes.evidence import Evidence
from plugsight.verdict.record import Action
from plugsight.verdict.rules import ACTIONS, steps
from plugsight.verdict.torque import torque_words


def steps_for(action: Action, evidence: Evidence, *, dirty: bool) -> tuple[str, ...]:
    """Return the steps for an action in the order of the bench; none while a plug is not decided.

    ``dirty``: something on the plug has to be cleaned off.
    """
    spec = evidence.spec
    electrode = spec.electrode.value if spec.electrode is not None else "unknown"
    seat = spec.seat.value if spec.seat is not None else "unknown"
    chosen = []
    for step in steps():
        fits = step.electrode in (None, electrode) and step.seat in (None, seat)
        if fits and (dirty or not step.dirty) and action in {ACTIONS[word] for word in step.actions}:
            torque = torque_words(spec, aluminium=evidence.engine.head_aluminium) if step.torque else ""
            chosen.append(torque or step.words)
    return tuple(chosen)
