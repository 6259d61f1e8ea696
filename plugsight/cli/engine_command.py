"""``plugsight engine``: a whole engine from one file."""

from pathlib import Path
from typing import Annotated

import typer

from plugsight.casebook.before import before
from plugsight.cli.engine_file import read_engine_file
from plugsight.cli.finish import ask_undecided, exit_for, finish, stop_if_undecided
from plugsight.cli.options import AskOption, OutOption, StoreOption, WhoOption
from plugsight.cli.pour import check_photos, pour
from plugsight.cli.screen import console, heading, line
from plugsight.cli.session import casebook, person_present
from plugsight.cli.show_inspection import show_inspection
from plugsight.cli.show_look import show_suggestion
from plugsight.flow import undecided


def engine(
    file: Annotated[Path, typer.Argument(help="The engine file (TOML).", metavar="FILE")],
    out: OutOption = None,
    store: StoreOption = None,
    inspection: Annotated[
        str | None,
        typer.Option(
            "--inspection", help="Go on with this saved inspection: only what is new is added.", metavar="ID"
        ),
    ] = None,
    who: WhoOption = "",
    ask: AskOption = None,
) -> None:
    """Run a whole engine from one file: photos, readings, decisions, report.

    Everything in the file is checked before anything is saved. Plugs without a decision are asked for here, or named
    (exit code 3); causes are worked out only from what a person decided.
    """
    to = console()
    given = read_engine_file(file)
    check_photos(given)
    by = who or given.who
    with casebook(store) as book:
        if inspection is None:
            case = book.start(given.engine, given.spec, given.context, given.meter, invented=given.invented)
        else:
            case = book.load(inspection)
        line(to, f"Inspection {case.id}: everything is saved as it is entered.")
        case = pour(book, given, case)
        if person_present(ask):
            case = ask_undecided(to, book, case, by)
        show_inspection(to, case)
        for place in undecided(case):
            if not book.blind(case, place):
                heading(to, f"Plug {place}")
                show_suggestion(to, book.look(case, place))
        again = f"Write decisions into {file.name} and go on with --inspection {case.id}, or use 'plugsight decide {case.id}'."
        stop_if_undecided(to, case, again)
        folder = out or file.parent / f"{file.stem}_report"
        earlier = before(book.history(case.engine.name), case)
        exit_for(finish(to, case, folder, who=by, shop=given.shop, previous=earlier))
