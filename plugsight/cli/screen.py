"""The terminal: results on the output stream, progress on the error stream; a person's text is never markup."""

from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from typing import TypeVar

from rich.console import Console
from rich.padding import Padding
from rich.progress import BarColumn, MofNCompleteColumn, Progress, SpinnerColumn, TextColumn
from rich.table import Table
from rich.text import Text

T = TypeVar("T")


def console() -> Console:
    """Make the console for results (made anew, so that it follows redirection)."""
    return Console(highlight=False)


def heading(to: Console, words: str) -> None:
    """Print a heading with room above."""
    to.print()
    to.print(Text(words, style="bold underline"))


def line(to: Console, words: str, style: str = "", indent: int = 0) -> None:
    """Print one paragraph, wrapped and indented as a block."""
    to.print(Padding(Text(words, style=style), (0, 0, 0, indent)))


def table(to: Console, columns: Iterable[str], rows: Iterable[Iterable[str]]) -> None:
    """Print a table; cells are plain text."""
    made = Table(show_edge=False, pad_edge=False, header_style="bold", show_lines=False)
    for column in columns:
        made.add_column(column, overflow="fold")
    for row in rows:
        made.add_row(*(Text(cell) for cell in row))
    to.print(made)


def progress_bar() -> Progress:
    """Make a bar on the error stream; it draws nothing where nobody watches."""
    errors = Console(stderr=True)
    columns = (TextColumn("{task.description}", markup=False), BarColumn(), MofNCompleteColumn())
    return Progress(*columns, console=errors, transient=True, disable=not errors.is_terminal)


@contextmanager
def busy(what: str) -> Iterator[None]:
    """Show on the error stream that something is being worked on."""
    errors = Console(stderr=True)
    columns = (SpinnerColumn(), TextColumn("{task.description}", markup=False))
    with Progress(*columns, console=errors, transient=True, disable=not errors.is_terminal) as bar:
        bar.add_task(what, total=None)
        yield


def progress(items: Iterable[T], what: str, name: Callable[[T], str]) -> Iterator[T]:
    """Go through ``items`` with a bar that shows which one is being worked on."""
    everything = list(items)
    with progress_bar() as bar:
        task = bar.add_task(what, total=len(everything))
        for item in everything:
            bar.update(task, description=f"{what}: {name(item)}")
            yield item
            bar.advance(task)
