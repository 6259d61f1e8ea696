"""``plugsight sheet``: a page to print for photographing plugs."""

from pathlib import Path
from typing import Annotated

import typer

from plugsight.cli.report_files import write_aside
from plugsight.cli.screen import console, line
from plugsight.report import Paper, capture_sheet


def sheet(
    out: Annotated[Path, typer.Option("--out", help="Where to write the PDF.", metavar="FILE")] = Path(
        "capture_sheet.pdf"
    ),
    cylinders: Annotated[int, typer.Option(help="How many number boxes.", min=1, max=16)] = 8,
    paper: Annotated[Paper, typer.Option(help="Paper size.", case_sensitive=False)] = Paper.A4,
) -> None:
    """Make a sheet to print for photographing plugs.

    It has stand lines, a place for the grey card, a ruler and boxes for the cylinder number. Printed grey is no
    reference: use a real grey card.
    """
    write_aside(out, capture_sheet(paper=paper, cylinders=cylinders))
    line(console(), f"Sheet: {out}")
