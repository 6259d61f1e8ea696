"""``plugsight batch``: many photos, one line of results each."""

from pathlib import Path
from typing import Annotated

import typer

from plugsight.batch import find_photos, run_batch
from plugsight.cli.engine_file.spec_words import spec_from_words
from plugsight.cli.faults import NEEDS_PERSON
from plugsight.cli.screen import console, line, progress_bar


def batch(
    sources: Annotated[
        list[Path],
        typer.Argument(help="Folders, photos, or listings (.txt, one path a line).", metavar="SOURCE..."),
    ],
    to: Annotated[
        Path, typer.Option("--to", help="The file of result lines; what it has already is not done again.")
    ] = Path("photos.jsonl"),
    thread: Annotated[str, typer.Option(help="Thread of all these plugs.")] = "M14x1.25",
    gap: Annotated[str | None, typer.Option(help='Gap the engine asks for: "0.7-0.8 mm".')] = None,
    workers: Annotated[int, typer.Option(help="Processes on this computer.", min=1)] = 1,
    scheduler: Annotated[
        str, typer.Option(help="Address of a Dask scheduler (tcp://host:8786) whose workers do it instead.")
    ] = "",
) -> None:
    """Look at many photos: one line of results each (JSON Lines), errors included.

    Stop it when you like; the same command goes on where it was. Nothing is saved in the store, nothing is decided.
    """
    spec = spec_from_words(thread, gap)
    photos = find_photos(sources)
    with progress_bar() as bar:
        task = bar.add_task("looking", total=len(photos))
        count = run_batch(
            photos,
            to,
            spec,
            workers=workers,
            scheduler=scheduler,
            tell=lambda lines, _: bar.update(task, completed=lines),
        )
    out = console()
    line(out, f"{count.done} photos looked at, {count.before} were there already: {to}")
    if count.done:
        line(
            out,
            f"{count.refused} without a suggestion, {count.unreadable} of them no readable picture. "
            f"{count.cpu_s / count.done:.2f} s of processor time a photo, {count.wall_s:.0f} s in all, "
            f"at most {count.memory_mb:.0f} MB a worker.",
        )
    if count.unreadable:
        raise typer.Exit(NEEDS_PERSON)
