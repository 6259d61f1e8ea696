"""``plugsight demo``: the shipped, invented engine, from photos to report."""

import tempfile
from pathlib import Path
from typing import Annotated

import typer

from plugsight.cli.engine_file import read_engine_file
from plugsight.cli.finish import finish
from plugsight.cli.options import StoreOption
from plugsight.cli.pour import check_photos, pour
from plugsight.cli.screen import console, line
from plugsight.cli.session import casebook
from plugsight.cli.show_inspection import show_inspection

DEMO = Path(__file__).parent / "demo" / "engine.toml"


def demo(
    out: Annotated[Path, typer.Option("--out", help="Folder for the report.", metavar="FOLDER")] = Path(
        "demo_report"
    ),
    store: StoreOption = None,
) -> None:
    """Run the whole job on an invented engine and leave a report.

    Photos are rendered, readings made up. Your own store is left alone, unless you name one with --store.
    """
    to = console()
    line(to, "An invented engine: rendered photos, made-up readings.", style="yellow")
    given = read_engine_file(DEMO)
    check_photos(given)
    with tempfile.TemporaryDirectory() as aside, casebook(store or aside) as book:
        case = book.start(given.engine, given.spec, given.context, given.meter, invented=given.invented)
        case = pour(book, given, case)
        show_inspection(to, case)
        finish(to, case, out.absolute(), who=given.who, shop=given.shop)
