"""Reads the knowledge files and refuses them as a whole, every error listed, where they don't fit together."""

import tomllib
from collections import Counter
from collections.abc import Iterator, Mapping
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from types import MappingProxyType

from pydantic import BaseModel, ValidationError

from plugsight.causes.catalogue import Catalogue, Cause, Finding, Level, Link, Source
from plugsight.causes.knowledge_files import CausesFile, FindingsFile, LinksFile, OutcomesFile, PriorsFile, SourcesFile
from plugsight.causes.record import Scope
from plugsight.vocabulary.errors import InputError

_FILES: Mapping[str, type[BaseModel]] = {
    "sources": SourcesFile,
    "causes": CausesFile,
    "priors": PriorsFile,
    "findings": FindingsFile,
    "links": LinksFile,
    "outcomes": OutcomesFile,
}


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
        With every problem at once: unknown fields, values out of range, missing source marks, ids that dangle,
        entries that contradict each other.

    """
    problems: list[str] = []
    read: dict[str, BaseModel] = {}
    for name, kind in _FILES.items():
        try:
            text = (folder / f"{name}.toml").read_text(encoding="utf-8")
            read[name] = kind.model_validate(tomllib.loads(text))
        except (OSError, tomllib.TOMLDecodeError) as error:
            problems.append(f"{name}.toml: {error}")
        except ValidationError as error:
            problems.extend(f"{name}.toml: {_said(e)}" for e in error.errors(include_url=False))
    if len(read) < len(_FILES):
        raise KnowledgeError(str(folder), tuple(problems))
    parts = (read["sources"], read["causes"], read["priors"], read["findings"], read["links"], read["outcomes"])
    match parts:
        case (
            SourcesFile() as sources,
            CausesFile() as causes,
            PriorsFile() as priors,
            FindingsFile() as findings,
            LinksFile() as links,
            OutcomesFile() as outcomes,
        ):
            problems.extend(_dangling(sources, causes, priors, findings, links, outcomes))
            problems.extend(_contradictions(causes, priors, findings, links, outcomes))
            if problems:
                raise KnowledgeError(str(folder), tuple(problems))
            return _build(sources, causes, priors, findings, links, outcomes)
    raise KnowledgeError(str(folder), ("a file was read as another kind",))


def _said(error: Mapping[str, object]) -> str:
    place = error["loc"]
    path = ".".join(map(str, place)) if isinstance(place, tuple) else str(place)
    return f"{path}: {error['msg']}"


def _dangling(
    sources: SourcesFile,
    causes: CausesFile,
    priors: PriorsFile,
    findings: FindingsFile,
    links: LinksFile,
    outcomes: OutcomesFile,
) -> Iterator[str]:
    """Ids that name nothing, and entries that nothing uses."""
    known = {cause.id for cause in causes.cause}
    marks = [(f"causes.toml: {c.id}", c.source) for c in causes.cause]
    marks += [("priors.toml", priors.source), ("findings.toml", findings.source)]
    linked = {finding for row in links.links.values() for finding in row}
    for cause, row in links.links.items():
        marks += [(f"links.toml: {cause}.{finding}", source) for finding, (_, source) in row.items()]
        if not row:
            yield f"links.toml: {cause}: raises no finding, so nothing can ever speak for it"
    for where, ids in marks:
        for mark in ids.split():
            if mark not in sources.source:
                yield f"{where}: source '{mark}' is not in sources.toml"
    for name, ids_there in (("priors.toml", priors.prior.keys()), ("links.toml", links.links.keys())):
        yield from (f"{name}: '{cause}' is not in causes.toml" for cause in sorted(ids_there - known))
        yield from (f"{name}: nothing for the cause '{cause}'" for cause in sorted(known - ids_there))
    yield from (f"links.toml: finding '{f}' is not in findings.toml" for f in sorted(linked - findings.finding.keys()))
    yield from (f"findings.toml: no cause raises '{f}'" for f in sorted(findings.finding.keys() - linked))
    for check, named in outcomes.outcome.items():
        for outcome, shows in named.items():
            for finding in sorted(shows.keys() - findings.finding.keys()):
                yield f"outcomes.toml: {check}.{outcome}: finding '{finding}' is not in findings.toml"


def _contradictions(
    causes: CausesFile, priors: PriorsFile, findings: FindingsFile, links: LinksFile, outcomes: OutcomesFile
) -> Iterator[str]:
    """Entries that can't both be meant."""
    for cause, times in Counter(c.id for c in causes.cause).items():
        if times > 1:
            yield f"causes.toml: '{cause}' stands {times} times"
    for entry in causes.cause:
        prior = priors.prior.get(entry.id)
        if prior is not None and {*prior.by_scope()} != {*entry.scopes}:
            yield (
                f"priors.toml: {entry.id}: scopes {sorted(prior.by_scope())}, "
                f"but causes.toml says {sorted(entry.scopes)}"
            )
    owners: dict[str, set[bool]] = {}
    for cause, row in links.links.items():
        entry_prior = priors.prior.get(cause)
        for finding, (strength, _) in row.items():
            if entry_prior is not None:
                owners.setdefault(finding, set()).add(entry_prior.benign)
            known = findings.finding.get(finding)
            if known is not None and entry_prior is not None and entry_prior.plug_only and strength <= 0:
                yield f"links.toml: {cause}.{finding}: strength 0 is no link"
    for finding, kinds in owners.items():
        if len(kinds) > 1:
            yield f"links.toml: '{finding}' is raised by harmless causes and by faults: they must not share findings"
    for check, named in outcomes.outcome.items():
        if len(named) < 2:
            yield f"outcomes.toml: {check}: a check needs two outcomes or more"
        seen: list[tuple[str, dict[str, bool]]] = []
        for outcome, shows in named.items():
            for other, shown in seen:
                if all(shown[f] == shows[f] for f in shown.keys() & shows.keys()):
                    yield f"outcomes.toml: {check}: '{other}' and '{outcome}' don't exclude each other"
            seen.append((outcome, shows))
            levels = {findings.finding[f].level for f in shows if f in findings.finding}
            if len(levels) > 1:
                yield f"outcomes.toml: {check}.{outcome}: findings of different levels {sorted(levels)}"


def _build(
    sources: SourcesFile,
    causes: CausesFile,
    priors: PriorsFile,
    findings: FindingsFile,
    links: LinksFile,
    outcomes: OutcomesFile,
) -> Catalogue:
    return Catalogue(
        causes=MappingProxyType(
            {
                entry.id: Cause(
                    id=entry.id,
                    name=entry.name,
                    priors=MappingProxyType(
                        {Scope(s): priors.prior[entry.id].by_scope()[s] for s in entry.scopes}
                    ),
                    applies=MappingProxyType(entry.applies.known()),
                    repair=entry.repair,
                    sources=tuple(entry.source.split()),
                    links=MappingProxyType(
                        {
                            finding: Link(finding, strength, tuple(source.split()))
                            for finding, (strength, source) in links.links[entry.id].items()
                        }
                    ),
                    plug_only=priors.prior[entry.id].plug_only,
                    benign=priors.prior[entry.id].benign,
                    susceptible=priors.prior[entry.id].susceptible,
                )
                for entry in causes.cause
            }
        ),
        findings=MappingProxyType(
            {id_: Finding(id_, Level(f.level), f.leak, f.here, f.gone) for id_, f in findings.finding.items()}
        ),
        sources=MappingProxyType(
            {id_: Source(id_, s.short, s.citation, s.sureness) for id_, s in sources.source.items()}
        ),
        outcomes=MappingProxyType(
            {
                (check, outcome): MappingProxyType(dict(shows))
                for check, named in outcomes.outcome.items()
                for outcome, shows in named.items()
            }
        ),
    )
