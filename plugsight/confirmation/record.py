"""The record that leaves the confirmation room. Only the room's verb can make one."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from plugsight.vocabulary.bench import BenchFinding, BenchQuestion
from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.engine import Place
from plugsight.vocabulary.shown import ShownToPerson

_GATE: Final = object()
"""Handed over by ``confirm`` alone: a suggestion can't become a confirmation by construction."""


class Decision(StrEnum):
    """How the person decided."""

    ACCEPTED = "accepted"
    CORRECTED = "corrected"
    DECIDED = "decided"
    """Decided without a suggestion on screen (blind, abstained, or no photo)."""
    CANT_TELL = "can't tell"


@dataclass(frozen=True, slots=True, kw_only=True)
class Confirmation:
    """What a person decided about one plug, when, and what they were shown.

    ``deposits`` holds the dominant deposit first; empty with ``CANT_TELL``, which counts as not seen.
    ``absent`` and ``damage_absent`` hold what the person says is not there; anything in neither is unobserved.
    ``when`` is ISO 8601 with its offset. ``replaces`` is the number of the superseded confirmation (corrections are
    never overwritten).
    """

    place: Place
    decision: Decision
    deposits: tuple[Deposit, ...]
    damage: tuple[Damage, ...]
    absent: tuple[Deposit, ...]
    damage_absent: tuple[Damage, ...]
    bench: tuple[BenchFinding, ...]
    who: str
    when: str
    shown: ShownToPerson
    note: str
    gate: object

    def __post_init__(self) -> None:
        """Refuse to be made anywhere but in ``confirm``."""
        if self.gate is not _GATE:
            msg = "a Confirmation is made by plugsight.confirmation.confirm only: a person must have decided"
            raise TypeError(msg)

    @property
    def seen(self) -> bool:
        """Whether the person could tell anything."""
        return self.decision is not Decision.CANT_TELL

    @property
    def dominant(self) -> Deposit | None:
        """The deposit that covers most of the visible nose, as the person says."""
        return self.deposits[0] if self.deposits else None

    def answer(self, question: BenchQuestion) -> str | None:
        """The answer to one bench question, or None when it was not asked."""
        for finding in self.bench:
            if finding.question is question:
                return finding.answer
        return None
