"""Whatever can't be done is said in one line on the error stream, and in the exit code."""

from collections.abc import Iterator
from contextlib import contextmanager

import typer

from plugsight.vocabulary.errors import DecisionMissing, PlugsightError

UNUSABLE = 2
"""Usage or unusable input: nothing was done."""
NEEDS_PERSON = 3
"""Done as far as it goes: a person has to decide or look at something."""


@contextmanager
def told_in_one_line() -> Iterator[None]:
    """Turn an expected failure into its line and exit code."""
    try:
        yield
    except DecisionMissing as missing:
        typer.echo(str(missing), err=True)
        raise typer.Exit(NEEDS_PERSON) from missing
    except PlugsightError as problem:
        typer.echo(str(problem), err=True)
        raise typer.Exit(UNUSABLE) from problem
