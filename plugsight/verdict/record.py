"""The record that leaves the verdict room."""

from dataclasses import dataclass
from enum import IntEnum

from plugsight.vocabulary.engine import Place


class Action(IntEnum):
    """What becomes of a plug; a lower number is more serious and wins (numbers are stored)."""

    STOP = 1
    REPLACE = 2
    CAUSE_FIRST = 3
    NOT_DECIDED = 4
    CLEAN = 5
    REFIT = 6
    FINDINGS_ONLY = 7
    """Aircraft: findings, then approved data and a licensed person."""

    @property
    def words(self) -> str:
        """The action as a technician says it."""
        return {
            Action.STOP: "stop: inspect the engine first",
            Action.REPLACE: "replace",
            Action.CAUSE_FIRST: "find the cause first; no load until then",
            Action.NOT_DECIDED: "not decided",
            Action.CLEAN: "clean, set gap, refit",
            Action.REFIT: "refit",
            Action.FINDINGS_ONLY: "findings only: approved data and a licensed person decide",
        }[self]


@dataclass(frozen=True, slots=True)
class VerdictReason:
    """One finding that asks for an action."""

    action: Action
    words: str
    source: str


@dataclass(frozen=True, slots=True)
class PlugVerdict:
    """What becomes of one plug. ``look_at`` lists unanswered questions that stand in the way of a milder verdict."""

    place: Place
    action: Action
    reasons: tuple[VerdictReason, ...]
    look_at: tuple[str, ...]
    repair_first: tuple[str, ...]
    steps: tuple[str, ...]
    """Cleaning, gap setting and refit rules that apply."""
    cautions: tuple[str, ...]
    gap_words: str = ""
    """Gap to set, and what the worn gap asks of the coil."""
