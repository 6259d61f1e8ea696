"""An expected failure is a value with a reason and a remedy, never a guess and never an exception."""

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why something was not found or measured, and what the person can do about it. Always falsy."""

    reason: str
    remedy: str

    def __bool__(self) -> Literal[False]:
        """A refusal can't be mistaken for a result."""
        return False


@dataclass(frozen=True, slots=True)
class NotFound(Refusal):
    """A plug, card or part was not found in the photo."""


@dataclass(frozen=True, slots=True)
class NotMeasured(Refusal):
    """A quantity could not be measured from what was seen."""


@dataclass(frozen=True, slots=True)
class Abstention(Refusal):
    """No suggestion is made for this plug."""
