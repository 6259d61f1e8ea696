"""The end of a command that runs an inspection: ask what is missing, conclude, report, and say the exit code."""

from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path

import typer
from rich.console import Console

from plugsight.casebook import Casebook
from plugsight.cli.ask import ask_plug, ask_who, show_choices
from plugsight.cli.faults import NEEDS_PERSON
from plugsight.cli.report_files import write_report
from plugsight.cli.screen import busy, line
from plugsight.cli.show_conclusion import needs_person, show_conclusion
from plugsight.flow import Conclusion, Inspection, conclude, make_report, undecided
from plugsight.report import Shop


def ask_undecided(to: Console, book: Casebook, inspection: Inspection, who: str) -> Inspection:
    """Ask for every plug nobody has decided."""
    missing = undecided(inspection)
    by = who.strip() or (ask_who() if missing else "")
    if missing:
        show_choices(to)
    for place in missing:
        inspection = ask_plug(to, book, inspection, place, by)
    return inspection


def stop_if_undecided(to: Console, inspection: Inspection, how: str) -> None:
    """Say which plugs wait for a person, and stop with the exit code for that."""
    missing = undecided(inspection)
    if missing:
        names = ", ".join(map(str, missing))
        line(
            to, f"Nobody has decided plug {names}: no cause is worked out before that. {how}", style="yellow"
        )
        raise typer.Exit(NEEDS_PERSON)


def finish(
    to: Console,
    inspection: Inspection,
    folder: Path,
    *,
    who: str,
    shop: Shop | None = None,
    previous: Sequence[str] = (),
) -> Conclusion:
    """Conclude, print it, write the report and say where it is; ``previous`` tells of earlier inspections."""
    with busy("working out causes and checks"):
        conclusion = conclude(inspection)
    show_conclusion(to, conclusion)
    made = datetime.now(UTC).astimezone().isoformat(timespec="seconds")
    name = who or inspection.plugs[0].confirmations[-1].who
    report = make_report(inspection, conclusion, who=name, made=made, shop=shop, previous=previous)
    with busy("writing the report"):
        written = write_report(report, folder)
    to.print()
    for path in written:
        line(to, f"Report: {path}")
    return conclusion


def exit_for(conclusion: Conclusion) -> None:
    """Stop with exit code 3 where a plug's verdict still waits for somebody to look."""
    if needs_person(conclusion):
        raise typer.Exit(NEEDS_PERSON)
