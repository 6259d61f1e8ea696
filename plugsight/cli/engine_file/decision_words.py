"""A decision from the words given on a command line, read by the same rules as in an engine file."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from pydantic import ValidationError
from pydantic_core import PydanticCustomError

from plugsight.cli.engine_file.layout import DecisionPart
from plugsight.cli.engine_file.problems import from_validation, raise_any
from plugsight.cli.engine_file.words import bench_finding
from plugsight.vocabulary.bench import BenchFinding
from plugsight.vocabulary.damage import Damage
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.errors import InputError


@dataclass(frozen=True, slots=True)
class DecisionWords:
    """What was typed; ``bench`` holds ``test=answer``."""

    deposits: Sequence[str]
    damage: Sequence[str]
    absent: Sequence[str]
    damage_absent: Sequence[str]
    bench: Sequence[str]
    note: str
    cant_tell: bool

    @property
    def empty(self) -> bool:
        """Whether nothing was typed that decides anything."""
        return not (
            self.deposits or self.damage or self.absent or self.damage_absent or self.bench or self.cant_tell
        )


@dataclass(frozen=True, slots=True)
class DecisionRead:
    """The same in the words of the trade."""

    deposits: tuple[Deposit, ...]
    damage: tuple[Damage, ...]
    absent: tuple[Deposit, ...]
    damage_absent: tuple[Damage, ...]
    cant_tell: bool
    note: str
    bench: tuple[BenchFinding, ...] = field(default=())


def read_decision(words: DecisionWords) -> DecisionRead:
    """Read a decision; unknown words are ``InputError`` with the nearest known one."""
    typed = {
        "deposits": tuple(words.deposits),
        "damage": tuple(words.damage),
        "absent": tuple(words.absent),
        "damage_absent": tuple(words.damage_absent),
        "cant_tell": words.cant_tell,
        "note": words.note,
    }
    try:
        part = DecisionPart.model_validate(typed)
    except ValidationError as error:
        raise_any(from_validation("command line", error, typed))
        raise
    return DecisionRead(
        part.deposits,
        part.damage,
        part.absent,
        part.damage_absent,
        part.cant_tell,
        part.note,
        tuple(read_bench(written) for written in words.bench),
    )


def read_bench(written: str) -> BenchFinding:
    """Read ``test=answer``."""
    question, equals, answer = written.partition("=")
    if not equals:
        raise InputError(
            "command line, bench", "this is not TEST=ANSWER", 'Write it like "wipe=dry soot".', written
        )
    try:
        return bench_finding(question, answer)
    except PydanticCustomError as problem:
        about = problem.context or {}
        raise InputError("command line, bench", str(about["rule"]), str(about["remedy"])) from problem
