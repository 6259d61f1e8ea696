"""The checks as the program knows them, read from the knowledge files."""

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from typing import TypeVar

from pydantic import BaseModel, ValidationError

from plugsight.causes.catalogue import Catalogue, Level
from plugsight.causes.load_knowledge import KnowledgeError, catalogue, said
from plugsight.causes.observe import outcome_level
from plugsight.causes.sources import cite
from plugsight.checks.cautions import CheckCaution, is_known, known_caution
from plugsight.checks.check_files import CautionEntry, CautionsFile, CheckEntry, ChecksFile
from plugsight.vocabulary.engine import EngineFacts

_File = TypeVar("_File", bound=BaseModel)
_TURNING = frozenset({"running", "cranking", "road"})
_FILES = ("ignition", "fuel_and_air", "mechanical", "cooling")


@dataclass(frozen=True, slots=True)
class KnownOutcome:
    """One outcome a check can have: its id as ``CheckOutcome`` takes it, in words, and its meaning."""

    id: str
    words: str
    meaning: str


@dataclass(frozen=True, slots=True)
class KnownCheck:
    """One check. ``level`` says whether it is done on a plug, a cylinder, a bank or the engine."""

    id: str
    name: str
    level: Level
    how: str
    minutes: float
    tools: str
    skill: str
    intrusive: int
    warned: tuple[CheckCaution, ...]
    source: str
    outcomes: tuple[KnownOutcome, ...]
    applies: Mapping[str, tuple[str | bool, ...]]
    min_cylinders: int
    locates: frozenset[str]
    """Causes whose repair needs this check to show where, or to clear the cylinder."""
    turns_engine: bool
    """Whether the engine is cranked or run for it."""

    @property
    def cautions(self) -> tuple[str, ...]:
        """All its cautions in words, whatever the engine."""
        return tuple(caution.words for caution in self.warned)

    def cautions_on(self, engine: EngineFacts) -> tuple[str, ...]:
        """Its cautions in words, without those that a known fact of the engine rules out."""
        return tuple(caution.words for caution in self.warned if caution.stands_for(engine))

    @property
    def per_cylinder(self) -> bool:
        """Whether an outcome must say on which cylinder."""
        return self.level in (Level.PLUG, Level.CYLINDER)

    def applies_to(self, engine: EngineFacts) -> bool:
        """Whether no known fact of the engine rules this check out; an unknown fact never does."""
        if engine.cylinders < self.min_cylinders:
            return False
        known = ((getattr(engine, fact), allowed) for fact, allowed in self.applies.items())
        return all(value is None or value in allowed for value, allowed in known)


@cache
def known_checks() -> tuple[KnownCheck, ...]:
    """Return all checks that ship with plugsight, in the order of their files (read once)."""
    return load_checks(files("plugsight.checks") / "knowledge", catalogue())


def load_checks(folder: Traversable, knowledge: Catalogue) -> tuple[KnownCheck, ...]:
    """Read the check files of ``folder`` and hold them against what the causes know of outcomes.

    Raises
    ------
    KnowledgeError
        With every problem at once: a check without a caution, a caution or source that dangles, outcomes that the
        causes don't know or that a check lacks.

    """
    problems: list[str] = []
    cautions = _read(folder, "cautions", CautionsFile, problems)
    entries: dict[str, CheckEntry] = {}
    for name in _FILES:
        read = _read(folder, name, ChecksFile, problems)
        for check, entry in read.check.items() if read else ():
            if check in entries:
                problems.append(f"{name}.toml: the check '{check}' stands twice")
            entries[check] = entry
    if cautions is not None:
        problems.extend(_dangling(entries, cautions.caution, knowledge))
    if not problems and cautions is not None:
        return tuple(_known(check, entry, cautions.caution, knowledge) for check, entry in entries.items())
    raise KnowledgeError(str(folder), tuple(problems))


def _read(folder: Traversable, name: str, kind: type[_File], problems: list[str]) -> _File | None:
    try:
        return kind.model_validate(tomllib.loads((folder / f"{name}.toml").read_text(encoding="utf-8")))
    except ValidationError as error:
        problems.extend(f"{name}.toml: {said(e)}" for e in error.errors(include_url=False))
    except (OSError, ValueError, RecursionError) as error:  # no text in UTF-8, no TOML, or nested without end
        problems.append(f"{name}.toml: {error}")
    return None


def _dangling(
    entries: Mapping[str, CheckEntry], cautions: Mapping[str, CautionEntry], knowledge: Catalogue
) -> Iterator[str]:
    known: dict[str, set[str]] = {}
    for check, outcome in knowledge.outcomes:
        known.setdefault(check, set()).add(outcome)
    marks = [(f"check {check}", entry.source) for check, entry in entries.items()]
    marks += [(f"caution {name}", entry.source) for name, entry in cautions.items() if entry.source]
    yield from (
        f"caution {name}: the vocabulary has no caution '{entry.same_as}'"
        for name, entry in cautions.items()
        if not is_known(entry)
    )
    for where, ids in marks:
        yield from (f"{where}: source '{i}' is unknown" for i in ids.split() if i not in knowledge.sources)
    for check, entry in entries.items():
        yield from (f"check {check}: caution '{c}' is unknown" for c in entry.cautions if c not in cautions)
        yield from (
            f"check {check}: there is no cause '{c}'" for c in entry.locates if c not in knowledge.causes
        )
        there, shown = {*entry.outcomes}, known.get(check, set())
        yield from (f"check {check}: the causes know no outcome '{o}'" for o in sorted(there - shown))
        yield from (f"check {check}: outcome '{o}' has no words" for o in sorted(shown - there))
    yield from (
        f"outcomes.toml: there is no check '{check}'" for check in sorted(known.keys() - entries.keys())
    )
    used = {c for entry in entries.values() for c in entry.cautions}
    yield from (f"caution {name}: no check names it" for name in sorted(cautions.keys() - used))


def _known(
    check: str, entry: CheckEntry, cautions: Mapping[str, CautionEntry], knowledge: Catalogue
) -> KnownCheck:
    return KnownCheck(
        id=check,
        name=entry.name,
        level=outcome_level(check, knowledge),
        how=entry.how,
        minutes=entry.minutes,
        tools=entry.tools,
        skill=entry.skill,
        intrusive=entry.intrusive,
        warned=tuple(known_caution(cautions[c]) for c in entry.cautions),
        source=cite(entry.source),
        outcomes=tuple(KnownOutcome(o, e.words, e.meaning) for o, e in entry.outcomes.items()),
        applies=entry.applies.known(),
        min_cylinders=entry.min_cylinders,
        locates=frozenset(entry.locates),
        turns_engine=not _TURNING.isdisjoint(entry.cautions),
    )
