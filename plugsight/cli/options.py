"""Options that several commands share."""

from pathlib import Path
from typing import Annotated

import typer

StoreOption = Annotated[
    str | None,
    typer.Option(
        "--store",
        envvar="PLUGSIGHT_STORE",
        help="Folder, .sqlite file or database URL; your own data folder if left out.",
        metavar="PLACE",
    ),
]
WhoOption = Annotated[
    str, typer.Option("--who", envvar="PLUGSIGHT_WHO", help="Who decides: a name or initials.")
]
InspectionArgument = Annotated[
    str, typer.Argument(help="Id of the inspection, as 'plugsight list' shows it.", metavar="ID")
]
PlugArgument = Annotated[
    str, typer.Argument(help='Which plug: "3", or "3 top" where a cylinder has two.', metavar="PLUG")
]
OutOption = Annotated[
    Path | None, typer.Option("--out", help="Folder for the report.", file_okay=False, metavar="FOLDER")
]
PhotosArgument = Annotated[list[Path], typer.Argument(help="Photos of ONE plug.", metavar="PHOTO...")]
CleanedOption = Annotated[
    bool, typer.Option("--cleaned", help="Taken, or read, after the plug was wiped or cleaned.")
]
AskOption = Annotated[
    bool | None,
    typer.Option(
        "--ask/--no-ask",
        help="Ask for what is missing here; if left out, asks when a person is at the terminal.",
    ),
]
