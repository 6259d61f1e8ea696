"""The record that leaves the suggestion room."""

from dataclasses import dataclass

from plugsight.vocabulary.bench import BenchQuestion
from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit


@dataclass(frozen=True, slots=True)
class Chance:
    """Calibrated chance of one deposit being the dominant one, 0..1."""

    deposit: Deposit
    chance: float


@dataclass(frozen=True, slots=True)
class DamageChance:
    """Calibrated chance of one damage being present, 0..1."""

    damage: Damage
    chance: float


@dataclass(frozen=True, slots=True)
class Reason:
    """One of the measurements that most drove the suggestion: its name, value, and a sentence with what is usual."""

    feature: str
    value: float
    words: str


@dataclass(frozen=True, slots=True)
class Splitter:
    """A bench test that would split the suggested set, and what each answer would leave."""

    question: BenchQuestion
    words: str


@dataclass(frozen=True, slots=True)
class Suggestion:
    """A calibrated set of deposits for one plug (all its views pooled), with damage findings.

    ``members`` is the conformal set at ``coverage``, most likely first; ``chances`` cover every deposit, descending.
    """

    members: tuple[Deposit, ...]
    coverage: float
    chances: tuple[Chance, ...]
    damage: tuple[DamageChance, ...]
    why: tuple[Reason, ...]
    split_by: tuple[Splitter, ...]
    severity: float | None
    model_digest: str
    prior: str
