"""The knowledge as the program uses it: causes, findings, links and what a check's outcome shows."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from plugsight.causes.record import Scope
from plugsight.vocabulary.engine import EngineFacts


class Level(StrEnum):
    """What a finding is a finding of."""

    PLUG = "plug"
    CYLINDER = "cylinder"
    BANK = "bank"
    ENGINE = "engine"


@dataclass(frozen=True, slots=True)
class Source:
    """Where something is from: in short for the screen, in full, and how sure (``SEEN`` ... ``MEMORY``)."""

    id: str
    short: str
    citation: str
    sureness: str


@dataclass(frozen=True, slots=True)
class Finding:
    """One yes or no. ``here`` and ``gone`` say it when present and when absent; ``leak`` is 0..1."""

    id: str
    level: Level
    leak: float
    here: str
    gone: str


@dataclass(frozen=True, slots=True)
class Link:
    """How strongly a cause, acting alone, raises a finding (0..1), and where the link is from.

    ``scopes``: the sites at which it does, where not at all of them.
    """

    finding: str
    strength: float
    sources: tuple[str, ...]
    scopes: tuple[Scope, ...] = ()

    def at(self, scope: Scope) -> float:
        """Strength at a site of this scope; 0 where the link does not hold there."""
        return self.strength if not self.scopes or scope in self.scopes else 0.0


@dataclass(frozen=True, slots=True)
class Cause:
    """A kind of cause. ``priors`` holds the chance at one site of each scope; ``applies`` the facts that must hold."""

    id: str
    name: str
    priors: Mapping[Scope, float]
    applies: Mapping[str, tuple[str | bool, ...]]
    repair: str
    sources: tuple[str, ...]
    links: Mapping[str, Link]
    plug_only: bool = False
    benign: bool = False
    susceptible: str = ""

    def applies_to(self, engine: EngineFacts) -> bool:
        """Whether no known fact of the engine rules this cause out; an unknown fact never does."""
        return all(
            known is None or known in allowed
            for known, allowed in ((getattr(engine, fact), allowed) for fact, allowed in self.applies.items())
        )


@dataclass(frozen=True, slots=True, eq=False)
class Catalogue:
    """All knowledge of the causes room, validated. Compared by identity."""

    causes: Mapping[str, Cause]
    findings: Mapping[str, Finding]
    sources: Mapping[str, Source]
    outcomes: Mapping[tuple[str, str], Mapping[str, bool]]
    """Check id and outcome id: what of the findings is then present (True) or absent (False)."""
