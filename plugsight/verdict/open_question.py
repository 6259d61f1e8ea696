"""A question that stands in the way of a milder verdict, and what has been found on one plug."""

from collections.abc import Mapping
from dataclasses import dataclass

from plugsight.confirmation.record import Confirmation
from plugsight.verdict.record import Action
from plugsight.vocabulary.bench import CANT_TELL, BenchQuestion
from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit

_QUESTIONS = frozenset(BenchQuestion)


@dataclass(frozen=True, slots=True)
class OpenQuestion:
    """What to look at. ``serious`` is what an unwelcome answer would ask for."""

    words: str
    serious: Action


def holds(confirmation: Confirmation, condition: Mapping[str, str]) -> bool:
    """Whether everything a condition names was confirmed; an empty condition holds nothing."""
    return bool(condition) and all(_has(confirmation, key, word) for key, word in condition.items())


def _has(confirmation: Confirmation, key: str, word: str) -> bool:
    if key == "deposit":
        return Deposit(word) in confirmation.deposits
    if key == "damage":
        return Damage(word) in confirmation.damage
    return confirmation.answer(BenchQuestion(key)) == word


def answered(confirmation: Confirmation, ask: str, or_absent: Damage | None) -> bool:
    """Whether a question has an answer; ``can't tell`` is none. Damage decided either way answers too."""
    if or_absent is not None and or_absent in (*confirmation.damage, *confirmation.damage_absent):
        return True
    return ask in _QUESTIONS and confirmation.answer(BenchQuestion(ask)) not in (None, CANT_TELL)
