"""Causes, next checks and verdicts in the terminal."""

from collections.abc import Callable, Iterable, Sequence

from rich.console import Console

from plugsight.causes import Band
from plugsight.cli.screen import heading, line, table
from plugsight.flow import Conclusion
from plugsight.verdict import Action, PlugVerdict
from plugsight.vocabulary.honesty import RENDERED_ONLY

_CAUSES, _CHECKS = 5, 3
"""How many are printed; the report has them all."""


def show_conclusion(to: Console, conclusion: Conclusion) -> None:
    """Print the verdict per plug first, then causes, then what to check next."""
    heading(to, "What becomes of each plug")
    table(
        to,
        ("plug", "verdict", "because, or look at"),
        ((str(v.place), v.action.words, _because(v)) for v in conclusion.verdicts),
    )
    for gap, plugs in _said_of(conclusion, lambda v: (v.gap_words,)):
        line(to, f"Gap, {plugs or 'every plug'}: {gap}")
    _list(to, "Repair first", _said_of(conclusion, lambda v: v.repair_first))
    _causes(to, conclusion)
    _checks(to, conclusion)
    _list(to, "Cleaning, gap and refit", _said_of(conclusion, lambda v: v.steps))
    own = dict.fromkeys(words for verdict in conclusion.verdicts for words in verdict.cautions)
    _list(to, "Cautions", [(words, "") for words in dict.fromkeys((*conclusion.cautions, *own))])
    to.print()
    line(to, RENDERED_ONLY, style="dim")


def _said_of(conclusion: Conclusion, said: Callable[[PlugVerdict], Iterable[str]]) -> list[tuple[str, str]]:
    """Each sentence once, with the plugs that it is said of; none where it is said of the whole set."""
    plugs: dict[str, list[str]] = {}
    for verdict in conclusion.verdicts:
        for words in filter(None, said(verdict)):
            plugs.setdefault(words, []).append(str(verdict.place))
    every = len(conclusion.verdicts)
    return [
        (words, f"plug {', '.join(places)}" if len(places) < every else "") for words, places in plugs.items()
    ]


def _list(to: Console, title: str, said: Sequence[tuple[str, str]]) -> None:
    if said:
        heading(to, title)
    for words, plugs in said:
        line(to, f"- {words}" + (f" ({plugs})" if plugs else ""))


def _because(verdict: PlugVerdict) -> str:
    if verdict.action is Action.NOT_DECIDED and verdict.look_at:
        return "\n".join(verdict.look_at)
    return "; ".join(dict.fromkeys(r.words for r in verdict.reasons if r.action is verdict.action))


def _causes(to: Console, conclusion: Conclusion) -> None:
    heading(to, "Causes")
    causes = conclusion.causes
    if not causes.separable:
        line(to, "Nothing stands out yet: the next check settles more than this list.", style="yellow")
    for remark in causes.remarks:
        line(to, remark)
    shown = [c for c in causes.ranked if c.band is not Band.UNLIKELY][:_CAUSES]
    for cause in shown:
        line(to, f"{cause.band}: {cause.name} ({cause.site})", style="bold")
        for why in cause.speaks_for[:2]:
            line(to, f"for: {why.words}", indent=2)
        for why in cause.speaks_against[:1]:
            line(to, f"against: {why.words}", indent=2)
        line(to, f"if so: {cause.repair}", indent=2)
    if not shown:
        line(to, "None is likely on what is known.")


def _checks(to: Console, conclusion: Conclusion) -> None:
    heading(to, "What to check next")
    checks = conclusion.checks
    if not checks.items:
        line(to, checks.stop or "Nothing more is worth its time.")
    for remark in checks.remarks:
        line(to, remark, style="yellow")
    for number, check in enumerate(checks.items[:_CHECKS], 1):
        where = "" if check.cylinder is None else f", cylinder {check.cylinder}"
        line(to, f"{number}. {check.name}{where} ({check.minutes:.0f} min, id {check.id})", style="bold")
        line(to, check.why, indent=3)
        line(to, f"{check.how} Tools: {check.tools}.", indent=3)
        for outcome in check.outcomes:
            line(to, f"{outcome.id}: {outcome.words}: {outcome.meaning}", indent=3)
        for caution in check.cautions:
            if caution not in conclusion.cautions:  # those stand below, for the whole job
                line(to, f"mind: {caution}", indent=3)


def needs_person(conclusion: Conclusion) -> bool:
    """Whether a plug's verdict still waits for somebody to look."""
    return any(v.action is Action.NOT_DECIDED for v in conclusion.verdicts)
