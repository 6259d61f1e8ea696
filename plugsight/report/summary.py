"""The report in short: plugs by verdict, and what to put right first."""

from dataclasses import dataclass

from plugsight.causes.record import Band, RankedCause
from plugsight.report.record import Report
from plugsight.verdict.record import Action
from plugsight.vocabulary.engine import Place

INVENTED_MARK = "INVENTED DATA: demonstration, not a real job"
"""Stands on every page of a report made from demo data."""


@dataclass(frozen=True, slots=True)
class VerdictGroup:
    """All plugs with the same verdict."""

    action: Action
    places: tuple[Place, ...]


def verdict_groups(report: Report) -> tuple[VerdictGroup, ...]:
    """Return the plugs by verdict, the most serious first."""
    return tuple(
        VerdictGroup(action, places)
        for action in Action
        if (places := tuple(row.place for row in report.plugs if row.verdict.action is action))
    )


def repair_first(report: Report) -> tuple[str, ...]:
    """Return what to put right before the plugs go back in, each once, in the order of the plugs."""
    return tuple(dict.fromkeys(words for row in report.plugs for words in row.verdict.repair_first))


def standing_causes(report: Report, limit: int = 6) -> tuple[RankedCause, ...]:
    """Return the causes worth showing: all most likely and possible ones, at most ``limit``."""
    return tuple(c for c in report.causes.ranked if c.band is not Band.UNLIKELY)[:limit]


def causes_lead(report: Report) -> str:
    """Return how to read the list of causes."""
    lead = "Blocks rank the causes: three most likely, two possible, one unlikely. A judgement, not a measured share."
    if report.causes.separable:
        return lead
    return f"Nothing stands out yet: the next check decides more than this list. {lead}"


def all_cautions(report: Report) -> tuple[str, ...]:
    """Return every caution that applies, each once: the job's, then the plugs', then the next checks'."""
    own = [words for row in report.plugs for words in row.verdict.cautions]
    ahead = [words for check in report.checks.items[:3] for words in check.cautions]
    return tuple(dict.fromkeys((*report.cautions, *own, *ahead)))


def all_steps(report: Report) -> tuple[str, ...]:
    """Return the rules for cleaning, gap setting and refit that apply, each once."""
    return tuple(dict.fromkeys(words for row in report.plugs for words in row.verdict.steps))


def how_known(report: Report) -> tuple[tuple[str, str], ...]:
    """Return what a photo measured, what a tool measured, and what a person judged."""
    photos = sum(len(row.pictures) for row in report.plugs)
    gaps = sum(p.gap_mm is not None for row in report.plugs for p in row.pictures)
    readings = sum(len(row.readings) for row in report.plugs)
    told = sum(row.confirmation.seen for row in report.plugs)
    blind = sum(row.confirmation.shown.blind for row in report.plugs)
    return (
        ("measured on photos", f"{photos} photos; a gap on {gaps} of them (95 % uncertainty beside each)"),
        ("measured by hand", f"{readings} readings with wire gauge and meter, as written down"),
        (
            "judged by a person",
            f"condition of {told} of {len(report.plugs)} plugs, {blind} before any suggestion was shown; bench tests",
        ),
        (
            "worked out",
            "causes and next checks, from what the person confirmed and the readings; never from a photo",
        ),
    )
