"""``plugsight list``: saved inspections."""

from typing import Annotated

import typer

from plugsight.cli.options import StoreOption
from plugsight.cli.screen import console, line, table
from plugsight.cli.session import casebook
from plugsight.store import StoredSummary


def list_inspections(
    engine: Annotated[str | None, typer.Option(help="Only this engine, by its name.", metavar="NAME")] = None,
    open_outcomes: Annotated[
        bool, typer.Option("--open", help="Only those whose repair has no known outcome yet.")
    ] = False,
    limit: Annotated[int, typer.Option(help="How many at most.", min=1, max=1000)] = 20,
    store: StoreOption = None,
) -> None:
    """List saved inspections, the last changed first."""
    to = console()
    with casebook(store) as book:
        line(to, f"Store: {book.store.location}", style="dim")
        found = book.recent(limit=limit, engine=engine, open_outcomes=open_outcomes)
        if not found:
            line(to, "None yet. Begin one with 'plugsight engine FILE', or try 'plugsight demo'.")
            return
        table(
            to,
            ("id", "engine", "changed", "photos", "plugs decided", "outcome"),
            (_row(one) for one in found),
        )


def _row(one: StoredSummary) -> tuple[str, ...]:
    name = f"{one.engine_name} (invented)" if one.invented else one.engine_name
    changed = one.updated[:16].replace("T", " ") + " UTC"
    outcome = "open" if one.open_outcome else "known"
    return one.id, name, changed, str(one.photos), str(one.decided), outcome
