"""Reads the knowledge files and refuses them as a whole, every error listed, where they don't fit together."""

import tomllib
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from types import MappingProxyType
from typing import Any

from pydantic import ValidationError

from plugsight.causes.catalogue import Catalogue, Cause, Finding, Level, Link, Source
from plugsight.causes.knowledge_files import CauseEntry, KnowledgeFiles
from plugsight.causes.knowledge_problems import knowledge_problems
from plugsight.causes.record import Scope
from plugsight.vocabulary.errors import InputError


class KnowledgeError(InputError):
    """Knowledge files that can't be used; ``problems`` names every one of them."""

    def __init__(self, folder: str, problems: tuple[str, ...]) -> None:
        self.problems = problems
        lines = "\n".join(f"- {problem}" for problem in problems)
        super().__init__(
            folder, f"{len(problems)} problems in the knowledge files", f"Correct all of these:\n{lines}"
        )


@cache
def catalogue() -> Catalogue:
    """Return the knowledge that ships with plugsight (read once)."""
    return load_knowledge(files("plugsight.causes") / "knowledge")


def load_knowledge(folder: Traversable) -> Catalogue:
    """Read the six files of ``folder`` and check them against themselves and each other.

    Raises
    ------
    KnowledgeError
        With every problem at once: unknown fields, values out of range, missing source marks; where the files are
        well formed, ids that dangle and entries that contradict each other.

    """
    problems: list[str] = []
    parsed: dict[str, Any] = {}
    for name in KnowledgeFiles.model_fields:
        try:
            parsed[name] = tomllib.loads((folder / f"{name}.toml").read_text(encoding="utf-8"))
        except (
            OSError,
            ValueError,
            RecursionError,
        ) as error:  # no text in UTF-8, no TOML, or nested without end
            problems.append(f"{name}.toml: {error}")
    try:
        read = KnowledgeFiles.model_validate(parsed)
    except ValidationError as error:
        found = error.errors(include_url=False)
        problems.extend(said(e) for e in found if e["type"] != "missing" or len(e["loc"]) > 1)
        raise KnowledgeError(str(folder), tuple(problems)) from error
    problems.extend(knowledge_problems(read))
    if problems:
        raise KnowledgeError(str(folder), tuple(problems))
    return _build(read)


def said(error: Mapping[str, Any]) -> str:
    """One validation error of pydantic in one line: where, and what."""
    return f"{'.'.join(map(str, error['loc']))}: {error['msg']}"


def _build(read: KnowledgeFiles) -> Catalogue:
    findings = read.findings.finding.items()
    sources = read.sources.source.items()
    outcomes = (
        (check, o, shows) for check, named in read.outcomes.outcome.items() for o, shows in named.items()
    )
    return Catalogue(
        causes=MappingProxyType({entry.id: _cause(entry, read) for entry in read.causes.cause}),
        findings=MappingProxyType(
            {i: Finding(i, Level(f.level), f.leak, f.here, f.gone) for i, f in findings}
        ),
        sources=MappingProxyType({i: Source(i, s.short, s.citation, s.sureness) for i, s in sources}),
        outcomes=MappingProxyType(
            {(check, o): MappingProxyType(dict(shows)) for check, o, shows in outcomes}
        ),
    )


def _cause(entry: CauseEntry, read: KnowledgeFiles) -> Cause:
    prior = read.priors.prior[entry.id]
    chances = prior.by_scope()
    links = {
        finding: Link(
            finding, link[0], tuple(link[1].split()), tuple(map(Scope, link[2])) if len(link) > 2 else ()
        )
        for finding, link in read.links.links[entry.id].items()
    }
    return Cause(
        id=entry.id,
        name=entry.name,
        priors=MappingProxyType({Scope(scope): chances[scope] for scope in entry.scopes}),
        applies=MappingProxyType(entry.applies.known()),
        repair=entry.repair,
        sources=tuple(entry.source.split()),
        links=MappingProxyType(links),
        plug_only=prior.plug_only,
        benign=prior.benign,
        susceptible=prior.susceptible,
    )
