"""What a check's outcomes would mean, and why it is proposed, in words."""

import numpy as np

from plugsight.causes.engine_model import EngineModel
from plugsight.causes.nodes import Node
from plugsight.causes.problem import Floats
from plugsight.checks.known import KnownCheck
from plugsight.checks.record import OutcomeMeaning
from plugsight.checks.value import CheckValue

LEAST_PULL = 0.05
"""Difference between outcomes in a cause's posterior below which it is not named (from memory)."""


def short_name(node: Node) -> str:
    """A cause in short: what stands before the colon of its name, and where."""
    name = node.cause.name.removeprefix("two-stroke: ")
    return f"{name.partition(':')[0]} ({node.site})"


def meanings(check: KnownCheck, value: CheckValue, model: EngineModel) -> tuple[OutcomeMeaning, ...]:
    """Each outcome with what it means and which cause would then lead."""
    said = []
    for row, outcome in enumerate(check.outcomes):
        first = short_name(model.nodes[int(np.argmax(value.posteriors[row]))])
        meaning = outcome.meaning[0].upper() + outcome.meaning[1:]
        said.append(OutcomeMeaning(outcome.id, outcome.words, f"{meaning}. Then first: {first}."))
    return tuple(said)


def why_worth(value: CheckValue, model: EngineModel, standing: Floats) -> str:
    """Which standing causes the outcomes pull furthest apart."""
    spread = (value.posteriors.max(axis=0) - value.posteriors.min(axis=0)) * standing
    moved = [model.nodes[i] for i in np.argsort(-spread)[:2] if spread[i] > LEAST_PULL]
    if not moved:
        return "It tells a little of several causes."
    names = " from ".join(map(short_name, moved))
    return f"It tells {names}." if len(moved) > 1 else f"It settles whether it is {names}."


def why_needed(lead: Node) -> str:
    """Why a check is proposed although the cause stands clear."""
    return f"The repair needs it: it shows where and how bad, if it is {short_name(lead)}."
