"""The verdict's knowledge: rules, questions and steps, read from data files and validated."""

import tomllib
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from plugsight.causes.sources import cite
from plugsight.verdict.record import Action
from plugsight.vocabulary.bench import BENCH, BenchQuestion
from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.engine import Stroke

Condition = Mapping[str, str]
"""``deposit`` or ``damage`` = its word, or a bench question = its answer; all must hold."""
ActionWord = Literal["stop", "replace", "cause first", "clean", "refit"]
ACTIONS: Mapping[str, Action] = {
    "stop": Action.STOP,
    "replace": Action.REPLACE,
    "cause first": Action.CAUSE_FIRST,
    "clean": Action.CLEAN,
    "refit": Action.REFIT,
}


class _Entry(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)

    source: Annotated[str, Field(min_length=1)]

    @model_validator(mode="after")
    def _known(self) -> "_Entry":
        try:
            cite(self.source)
        except KeyError as error:
            raise ValueError(f"unknown source {error}") from error
        return self


class Rule(_Entry):
    """What one confirmed finding asks for."""

    when: Condition = Field(alias="if")
    unless: Condition = {}
    stroke: tuple[Stroke, ...] = ()
    action: ActionWord
    words: Annotated[str, Field(min_length=1)]

    @model_validator(mode="after")
    def _conditions(self) -> "Rule":
        check_condition(self.when)
        check_condition(self.unless)
        return self


class Question(_Entry):
    """What must be answered before a milder verdict."""

    ask: str
    asked: Literal["always", "clean", "found", "white"]
    when: Condition = Field(alias="if", default={})
    or_absent: Damage | None = None
    words: Annotated[str, Field(min_length=1)]
    serious: ActionWord

    @model_validator(mode="after")
    def _conditions(self) -> "Question":
        check_condition(self.when)
        if self.ask not in {*BenchQuestion} and self.or_absent is None:
            raise ValueError(f"'{self.ask}' is no bench question and can't be answered")
        return self


class Step(_Entry):
    """One thing to do, where it applies. ``dirty``: only with something to clean off; ``torque``: the words are made from thread, seat and head."""

    actions: tuple[ActionWord, ...] = Field(alias="for", min_length=1)
    electrode: Literal["nickel", "precious metal", "unknown"] | None = None
    seat: Literal["gasket", "taper"] | None = None
    dirty: bool = False
    torque: bool = False
    words: str = ""


class _RuleFile(BaseModel):
    model_config = ConfigDict(extra="forbid")

    format: Literal[1]
    rule: tuple[Rule, ...]
    question: tuple[Question, ...]


class _StepFile(BaseModel):
    model_config = ConfigDict(extra="forbid")

    format: Literal[1]
    step: tuple[Step, ...]


def check_condition(condition: Condition) -> None:
    """Raise ``ValueError`` where a condition names a word the vocabulary does not have."""
    for key, word in condition.items():
        if key == "deposit":
            Deposit(word)
        elif key == "damage":
            Damage(word)
        elif word not in BENCH[BenchQuestion(key)].answers:
            raise ValueError(f"'{key}' can't be answered '{word}'")


def _read(name: str) -> dict[str, object]:
    return tomllib.loads((files("plugsight.verdict") / "knowledge" / name).read_text(encoding="utf-8"))


@cache
def rules() -> tuple[Rule, ...]:
    """Every rule, as in ``knowledge/rules.toml``; a slip in the file raises with all errors listed."""
    return _RuleFile.model_validate(_read("rules.toml")).rule


@cache
def questions() -> tuple[Question, ...]:
    """Every question of ``knowledge/rules.toml``."""
    return _RuleFile.model_validate(_read("rules.toml")).question


@cache
def steps() -> tuple[Step, ...]:
    """Every step of ``knowledge/steps.toml``."""
    return _StepFile.model_validate(_read("steps.toml")).step
