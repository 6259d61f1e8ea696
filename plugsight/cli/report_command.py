"""``plugsight report``: PDF, HTML and JSON of a saved inspection."""

from pathlib import Path
from typing import Annotated

import typer

from plugsight.casebook.before import before
from plugsight.cli.finish import exit_for, finish, stop_if_undecided
from plugsight.cli.options import InspectionArgument, OutOption, StoreOption, WhoOption
from plugsight.cli.screen import console
from plugsight.cli.session import casebook
from plugsight.photo import photo_file
from plugsight.report import Shop


def report(
    inspection: InspectionArgument,
    out: OutOption = None,
    who: WhoOption = "",
    shop: Annotated[str, typer.Option(help="Your shop's name, for the head of the report.")] = "",
    contact: Annotated[str, typer.Option(help="Your shop's address or telephone.")] = "",
    logo: Annotated[Path | None, typer.Option(help="Your shop's logo (PNG).", metavar="FILE")] = None,
    store: StoreOption = None,
) -> None:
    """Write the report as PDF, HTML and JSON."""
    to = console()
    head = Shop(shop, contact, None if logo is None else photo_file(logo))
    with casebook(store) as book:
        case = book.load(inspection)
        stop_if_undecided(to, case, f"Decide with 'plugsight decide {case.id}'.")
        earlier = before(book.history(case.engine.name), case)
        folder = out or Path(f"report_{case.id}")
        exit_for(finish(to, case, folder, who=who, shop=head, previous=earlier))
