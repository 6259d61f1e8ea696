"""What a check's outcomes would mean, and why it is proposed, in words."""

import numpy as np

from plugsight.causes.bands import POSSIBLE, RAISED
from plugsight.causes.engine_model import EngineModel
from plugsight.causes.nodes import Node
from plugsight.causes.problem import Floats
from plugsight.causes.why import log_odds
from plugsight.checks.known import KnownCheck
from plugsight.checks.record import OutcomeMeaning
from plugsight.checks.value import CheckValue

LEAST_PULL = 0.05
"""Difference between outcomes in a cause's posterior below which it is not named (from memory)."""
CLEARLY_LESS = 0.5
"""Drop in log odds from which an outcome is said to make the leading cause less likely (from memory)."""
MOST_RAISED = 2
"""Other causes named that an outcome brings into play."""


def short_name(node: Node) -> str:
    """A cause in short: what stands before the colon of its name, and where."""
    name = node.cause.name.removeprefix("two-stroke: ")
    return f"{name.partition(':')[0]} ({node.site})"


def meanings(
    check: KnownCheck, value: CheckValue, model: EngineModel, now: Floats
) -> tuple[OutcomeMeaning, ...]:
    """Each outcome with what it means, which cause would then lead, and which others it would bring into play.

    ``now`` (causes,) are the posteriors before the check: a cause that leads before and after is said to be left or
    made less likely, not said to follow from the outcome. Only causes that the check tells of are spoken of, where
    there are any: a worn plug elsewhere stays first whatever a borescope shows.
    """
    said = []
    told = (value.posteriors.max(axis=0) - value.posteriors.min(axis=0)) > LEAST_PULL
    told |= not told.any()
    lead = int(np.argmax(np.where(told, now, 0)))
    for row, outcome in enumerate(check.outcomes):
        after = value.posteriors[row]
        first = int(np.argmax(np.where(told, after, 0)))
        name = short_name(model.nodes[first])
        if first != lead:
            then = f"Then first: {name}."
        elif log_odds(after)[first] < log_odds(now)[first] - CLEARLY_LESS:
            then = f"Less likely then, though still first: {name}."
        else:
            then = f"Still first: {name}."
        raised = (after >= POSSIBLE) & (after >= RAISED * now)
        raised[first] = False
        others = [short_name(model.nodes[i]) for i in np.argsort(-after) if raised[i]][:MOST_RAISED]
        also = f" Possible besides: {'; '.join(others)}." if others else ""
        meaning = outcome.meaning[0].upper() + outcome.meaning[1:]
        said.append(OutcomeMeaning(outcome.id, outcome.words, f"{meaning}. {then}{also}"))
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
