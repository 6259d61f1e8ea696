"""``plugsight share`` and ``plugsight adopt``: the labelled set out and in."""

from pathlib import Path
from typing import Annotated

import typer

from plugsight.casebook.labelled import labelled_set
from plugsight.cli.options import AskOption, StoreOption
from plugsight.cli.screen import console, line, progress
from plugsight.cli.session import casebook, person_present
from plugsight.labels import keep_set, labels_home, write_set
from plugsight.vocabulary.errors import InputError

MOST = 100_000
CONSENT = "Has everybody whose plugs these are agreed that the photos are passed on? Say how, in one sentence"
LICENCE = "Under which licence may others use the photos (for example CC BY 4.0, or 'own use only')"


def share(
    to: Annotated[Path, typer.Argument(help="Folder or .zip to write.", metavar="PLACE")],
    licence: Annotated[str, typer.Option(help="Licence of the photos; asked for if left out.")] = "",
    consent: Annotated[str, typer.Option(help="How the owners agreed; asked for if left out.")] = "",
    crop: Annotated[
        bool, typer.Option("--crop", help="Keep only the part of each photo that shows the plug.")
    ] = False,
    engine: Annotated[str | None, typer.Option(help="Only this engine, by its name.", metavar="NAME")] = None,
    ask: AskOption = None,
    store: StoreOption = None,
) -> None:
    """Write the confirmed photos as a labelled set that others can read.

    Photos lose their metadata; engines and plugs are named by hashes. Plugs marked "can't tell" stay out.
    """
    out = console()
    licence, consent = (
        _asked(*one, ask) for one in (("licence", licence, LICENCE), ("consent", consent, CONSENT))
    )
    with casebook(store) as book:
        found = [
            book.load(one.id)
            for one in progress(book.recent(limit=MOST, engine=engine), "reading", lambda s: s.engine_name)
        ]
        labelled, pictures = labelled_set(book, found, licence=licence, consent=consent, crop=crop)
    write_set(labelled, pictures, to)
    line(out, f"{len(labelled.plugs)} plugs with {len(pictures)} photos: {to}")
    if labelled.invented:
        line(out, "Some of them are invented; the set says so.")
    line(out, "Look through its images folder before you pass it on: what stands in a picture stays in it.")


def adopt(
    source: Annotated[
        Path, typer.Argument(help="Folder or .zip that 'plugsight share' wrote.", metavar="SET")
    ],
) -> None:
    """Take in a labelled set, so that 'plugsight learn' can use it. A faulty set is refused whole."""
    made = keep_set(source)
    out, new = console(), len(made.labelled.plugs)
    if made.duplicates:
        line(out, f"{made.duplicates} plugs were here already (same photos) and are left out.")
    line(
        out,
        f"{new} plugs with {len(made.images)} photos taken in: {labels_home()}"
        if new
        else "Nothing new in it.",
    )


def _asked(name: str, given: str, question: str, ask: bool | None) -> str:
    if given.strip():
        return given.strip()
    said = (
        typer.prompt(question, default="", show_default=False, err=True).strip()
        if person_present(ask)
        else ""
    )
    if not said:
        raise InputError(
            name, "photos are not passed on without it", f"Give it with --{name}. Nothing was written."
        )
    return str(said)
