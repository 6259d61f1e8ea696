"""Why a cause stands where it stands: each finding left out in turn, and what that does to the cause's odds.

A sentence is therefore never decoration: its weight is the change of the log odds that the finding makes, rivals and
all. What follows from one look (a light nose shows that seven deposits are absent) is left out and told as one.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from plugsight.causes.catalogue import Catalogue
from plugsight.causes.engine_model import EngineModel
from plugsight.causes.nodes import Node
from plugsight.causes.problem import Floats
from plugsight.causes.record import Why
from plugsight.causes.seen import Seen
from plugsight.causes.sources import cite

LEAST_WEIGHT = 0.05
"""Log odds below which a finding is not worth a sentence (5 % in the odds; from memory)."""
WORKED_OUT = "worked out from what the other causes explain; strengths from memory"


@dataclass(frozen=True, slots=True)
class Group:
    """Findings of one kind over all places, spoken of together."""

    seen: tuple[Seen, ...]
    words: str


def groups_of(seen: Sequence[Seen], knowledge: Catalogue, cylinders: int) -> tuple[Group, ...]:
    """Gather what was seen by kind: the same finding present (or absent), or the same look."""
    gathered: dict[tuple[str, bool], list[Seen]] = {}
    for one in seen:
        gathered.setdefault((one.told or one.finding, one.present), []).append(one)
    return tuple(
        Group(tuple(some), _say(name, some, knowledge, cylinders)) for (name, _), some in gathered.items()
    )


def _say(name: str, some: Sequence[Seen], knowledge: Catalogue, cylinders: int) -> str:
    first = some[0]
    if first.told:
        words = name
    else:
        finding = knowledge.findings[first.finding]
        words = finding.here if first.present else finding.gone
    places = list(dict.fromkeys(str(s.place) for s in some if s.place is not None))
    numbers = list(dict.fromkeys(str(s.cylinder) for s in some if s.cylinder is not None))
    banks = [", ".join(map(str, s.bank)) for s in some if s.bank and len(s.bank) < cylinders]
    where = ""
    if places:
        where = f" on {'plug' if len(places) == 1 else 'plugs'} {', '.join(places)}"
    elif numbers:
        where = f" on {'cylinder' if len(numbers) == 1 else 'cylinders'} {', '.join(numbers)}"
    elif banks:
        where = f" on the bank of {'; '.join(banks)}"
    return words[0].upper() + words[1:] + where


def weights(groups: Sequence[Group], full: Floats, odds_without: Callable[[Group], Floats]) -> Floats:
    """Log of the odds ratio that each group contributes to each cause: ``(groups, causes)``.

    ``full`` holds the posteriors (causes,) with everything; ``odds_without`` gives them with one group left out.
    """
    rows = [log_odds(full) - log_odds(odds_without(group)) for group in groups]
    return np.stack(rows) if rows else np.zeros((0, len(full)))


def log_odds(chance: Floats) -> Floats:
    """Natural log odds of ``chance``, kept finite at 0 and 1."""
    kept = np.clip(chance, 1e-300, 1 - 2.0**-53)
    return np.asarray(np.log(kept) - np.log1p(-kept))


def reasons(
    node: Node, groups: Sequence[Group], weight: Floats, model: EngineModel
) -> tuple[tuple[Why, ...], tuple[Why, ...]]:
    """Return the sentences for and against one cause, the weightiest first; ``weight`` is ``(groups,)``."""
    said = [
        _sentence(node, groups[row], float(weight[row]), model)
        for row in np.argsort(-np.abs(weight), kind="stable")
        if abs(weight[row]) >= LEAST_WEIGHT
    ]
    return tuple(w for w in said if w.weight > 0), tuple(w for w in said if w.weight < 0)


def _sentence(node: Node, group: Group, weight: float, model: EngineModel) -> Why:
    direct = [s for s in group.seen if model.raises(node, s)]
    ending = _ENDINGS[bool(direct), group.seen[0].present, weight > 0]
    if not direct and weight > 0 and any(s.finding in node.cause.links for s in group.seen):
        ending = "not shared by these, which speaks for a cause of its own place."
    marks = dict.fromkeys(mark for s in direct for mark in node.cause.links[s.finding].sources)
    return Why(f"{group.words}: {ending}", cite(" ".join(marks)) if marks else WORKED_OUT, weight)


_ENDINGS: Mapping[tuple[bool, bool, bool], str] = {
    # the cause raises it there, it is present, it speaks for
    (True, True, True): "it shows like this.",
    (True, True, False): "other causes explain it better.",
    (True, False, False): "it would be expected to show.",
    (True, False, True): "speaks more against the other causes.",
    (False, True, True): "speaks more against the other causes.",
    (False, True, False): "it does not show like this, other causes do.",
    (False, False, True): "speaks against the other causes.",
    (False, False, False): "speaks for the other causes.",
}
