"""The record that leaves the causes room."""

from dataclasses import dataclass
from enum import StrEnum


class Band(StrEnum):
    """How strongly a cause stands; ties share a band."""

    MOST_LIKELY = "most likely"
    POSSIBLE = "possible"
    UNLIKELY = "unlikely"


class Scope(StrEnum):
    """Where a cause acts."""

    ENGINE = "engine"
    BANK = "bank"
    COIL_PAIR = "coil pair"
    NEIGHBOURS = "neighbours"
    CYLINDER = "cylinder"


@dataclass(frozen=True, slots=True)
class Site:
    """Scope and the cylinders it covers (all of them for ``ENGINE``); ``position`` where it is one of two plugs."""

    scope: Scope
    cylinders: tuple[int, ...]
    position: str = ""

    def __str__(self) -> str:
        """As said aloud: ``engine``, ``cylinder 3``, ``bank of 1, 3, 5``."""
        if self.scope is Scope.ENGINE:
            return "engine"
        if self.scope is Scope.CYLINDER:
            return f"cylinder {self.cylinders[0]} {self.position}".strip()
        return f"{self.scope} {', '.join(map(str, self.cylinders))}"


@dataclass(frozen=True, slots=True)
class Why:
    """One finding for or against a cause, as a sentence, with its source or mark.

    ``weight`` is the natural log of the likelihood ratio it contributes (positive speaks for).
    """

    words: str
    source: str
    weight: float


@dataclass(frozen=True, slots=True)
class RankedCause:
    """One cause at one site. Probabilities are the model's own judgement (from memory): shown as bands, not per cent."""

    id: str
    name: str
    site: Site
    probability: float
    prior: float
    band: Band
    speaks_for: tuple[Why, ...]
    speaks_against: tuple[Why, ...]
    repair: str
    """What to repair or do first if this is it."""


@dataclass(frozen=True, slots=True)
class Causes:
    """All causes told apart, most probable first.

    ``left_out`` is the prior mass of the combinations not considered (more than three shared causes at once),
    0..1. ``separable`` False: nothing stands out yet, lead with the next check. ``remarks`` holds set-level sentences
    (not compared plugs, two-stroke and aircraft rules, plugs not seen).
    """

    ranked: tuple[RankedCause, ...]
    separable: bool
    left_out: float
    remarks: tuple[str, ...] = ()
