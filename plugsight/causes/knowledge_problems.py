"""What can be wrong between knowledge files that are each well formed: ids that dangle, entries that contradict."""

from collections import Counter
from collections.abc import Iterator

from plugsight.causes.knowledge_files import KnowledgeFiles


def knowledge_problems(read: KnowledgeFiles) -> Iterator[str]:
    """Yield every problem, one line each: the file, the entry, what is wrong."""
    yield from _marks(read)
    yield from _dangling(read)
    yield from _causes(read)
    yield from _shared_findings(read)
    yield from _outcomes(read)


def _marks(read: KnowledgeFiles) -> Iterator[str]:
    """Every cause and link names sources that exist."""
    marks = [(f"causes.toml: {c.id}", c.source) for c in read.causes.cause]
    marks += [("priors.toml", read.priors.source), ("findings.toml", read.findings.source)]
    for cause, row in read.links.links.items():
        marks += [(f"links.toml: {cause}.{finding}", link[1]) for finding, link in row.items()]
    for where, ids in marks:
        for mark in ids.split():
            if mark not in read.sources.source:
                yield f"{where}: source '{mark}' is not in sources.toml"


def _dangling(read: KnowledgeFiles) -> Iterator[str]:
    """Ids that name nothing, and entries that nothing uses."""
    known = {cause.id for cause in read.causes.cause}
    for name, there in (("priors.toml", read.priors.prior.keys()), ("links.toml", read.links.links.keys())):
        yield from (f"{name}: '{cause}' is not in causes.toml" for cause in sorted(there - known))
        yield from (f"{name}: nothing for the cause '{cause}'" for cause in sorted(known - there))
    linked = {finding for row in read.links.links.values() for finding in row}
    findings = read.findings.finding.keys()
    yield from (f"links.toml: finding '{f}' is not in findings.toml" for f in sorted(linked - findings))
    yield from (f"findings.toml: no cause raises '{f}'" for f in sorted(findings - linked))
    for check, named in read.outcomes.outcome.items():
        for outcome, shows in named.items():
            for finding in sorted(shows.keys() - findings):
                yield f"outcomes.toml: {check}.{outcome}: finding '{finding}' is not in findings.toml"


def _causes(read: KnowledgeFiles) -> Iterator[str]:
    """One entry a cause, with a prior for just the scopes it has, and links at no other."""
    for cause, times in Counter(c.id for c in read.causes.cause).items():
        if times > 1:
            yield f"causes.toml: '{cause}' stands {times} times"
    for entry in read.causes.cause:
        scopes = {*entry.scopes}
        prior = read.priors.prior.get(entry.id)
        if prior is not None and {*prior.by_scope()} != scopes:
            yield (
                f"priors.toml: {entry.id}: scopes {sorted(prior.by_scope())}, but causes.toml says {sorted(scopes)}"
            )
        for finding, link in read.links.links.get(entry.id, {}).items():
            strange = {*link[2]} - scopes if len(link) > 2 else set()
            if strange:
                yield f"links.toml: {entry.id}.{finding}: the cause has no scope {sorted(strange)}"


def _shared_findings(read: KnowledgeFiles) -> Iterator[str]:
    """Harmless causes form a network of their own, so they share no finding with faults."""
    raised: dict[str, set[bool]] = {}
    for cause, row in read.links.links.items():
        prior = read.priors.prior.get(cause)
        for finding in row if prior is not None else ():
            raised.setdefault(finding, set()).add(prior is not None and prior.benign)
    for finding, kinds in raised.items():
        if len(kinds) > 1:
            yield f"links.toml: '{finding}' is raised by harmless causes and by faults: they must not share findings"


def _outcomes(read: KnowledgeFiles) -> Iterator[str]:
    """A check has two outcomes or more, all of one level, and any two exclude each other."""
    for check, named in read.outcomes.outcome.items():
        if len(named) < 2:
            yield f"outcomes.toml: {check}: a check needs two outcomes or more"
        shown_at = {
            f: read.findings.finding[f].level for s in named.values() for f in s if f in read.findings.finding
        }
        if len({*shown_at.values()}) > 1:
            yield f"outcomes.toml: {check}: findings of different levels {sorted({*shown_at.values()})}"
        several = list(named.items())
        for i, (outcome, shows) in enumerate(several):
            for other, shown in several[:i]:
                if all(shown[f] == shows[f] for f in shown.keys() & shows.keys()):
                    yield f"outcomes.toml: {check}: '{other}' and '{outcome}' don't exclude each other"
