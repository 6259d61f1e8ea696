"""Sources of what the report says, numbered in order of appearance and listed once at its end."""

from collections.abc import Iterator
from dataclasses import dataclass

from plugsight.report.record import Report
from plugsight.report.summary import standing_causes


@dataclass(frozen=True, slots=True)
class Sources:
    """Every source once; its number is its place, counted from 1."""

    items: tuple[str, ...]

    def mark(self, source: str) -> str:
        """Return the number in brackets that stands behind a sentence; empty for a source not listed."""
        return f"[{self.items.index(source) + 1}]" if source in self.items else ""


def sources_of(report: Report) -> Sources:
    """Collect the sources of verdicts, causes shown and checks shown."""
    return Sources(tuple(dict.fromkeys(source for source in _named(report) if source)))


def _named(report: Report) -> Iterator[str]:
    for row in report.plugs:
        yield from (why.source for why in row.verdict.reasons)
    for cause in standing_causes(report):
        yield from (why.source for why in (*cause.speaks_for, *cause.speaks_against))
    yield from (check.source for check in report.checks.items[:3])
