"""``plugsight backup``, ``restore`` and ``verify``."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Annotated

import typer

from plugsight.cli.faults import UNUSABLE
from plugsight.cli.options import StoreOption
from plugsight.cli.screen import console, line, progress_bar
from plugsight.store import Store, back_up
from plugsight.store import restore as make_from
from plugsight.store import verify as check_whole
from plugsight.store.verify import Tick

FileArgument = Annotated[Path, typer.Argument(help="The backup file.", metavar="FILE")]


def backup(file: FileArgument, store: StoreOption = None) -> None:
    """Copy the store, photos included, into one file. The store may be in use meanwhile."""
    with Store.open(store) as opened, _bar("copying") as tick:
        made = back_up(opened, file, tick)
    line(console(), f"Backup: {made.path} ({made.files} photos and pictures).")


def restore(file: FileArgument, store: StoreOption = None) -> None:
    """Make a store from a backup. An existing store is never overwritten."""
    with _bar("restoring") as tick:
        made = make_from(file, store, tick)
    line(console(), f"Restored from {made.path} ({made.files} photos and pictures).")


def verify(store: StoreOption = None) -> None:
    """Check that the store is whole: tables, references, every photo."""
    to = console()
    with Store.open(store) as opened, _bar("checking") as tick:
        health = check_whole(opened, tick)
    line(to, f"{health.inspections} inspections, {health.photos} photos.")
    if health.spare:
        line(to, f"{health.spare} files belong to no photo (left by a cut): harmless.")
    for fault in health.faults:
        line(to, fault, style="yellow")
    if not health.whole:
        raise typer.Exit(UNUSABLE)
    line(to, "The store is whole.")


@contextmanager
def _bar(what: str) -> Iterator[Tick]:
    with progress_bar() as bar:
        task = bar.add_task(what, total=None)
        yield lambda done, total: bar.update(task, completed=done, total=total)
