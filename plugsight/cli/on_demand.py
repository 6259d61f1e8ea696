"""A command group that imports a command only when it is called, so that ``--help`` answers at once."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from importlib import import_module
from typing import Any

import typer
from typer.core import TyperGroup

from plugsight.cli.faults import told_in_one_line


@dataclass(frozen=True, slots=True)
class Command:
    """One command: its name, where its function is (``module:function``), and one line of help."""

    name: str
    where: str
    help: str
    panel: str


class OnDemand(TyperGroup):
    """Lists commands from their one line of help; loads the real one when it is run."""

    where: dict[str, str]

    def resolve_command(self, ctx: Any, args: list[str]) -> Any:
        """Swap the placeholder for the command itself."""
        name, found, rest = super().resolve_command(ctx, args)
        if name is None or found is None:
            return name, found, rest
        module, function = ctx.obj[name].split(":")
        one = typer.Typer(add_completion=False)
        one.command(name=name, no_args_is_help=False)(getattr(import_module(module), function))
        return name, typer.main.get_command(one), rest

    def invoke(self, ctx: Any) -> Any:
        """Run a command; whatever it can't do is said in one line, with exit code 2 or 3."""
        with told_in_one_line():
            return super().invoke(ctx)


def add_commands(app: typer.Typer, commands: Iterable[Command]) -> None:
    """Register placeholders that carry the help; ``resolve_command`` replaces them."""
    for command in commands:
        app.command(command.name, help=command.help, rich_help_panel=command.panel)(_placeholder())


def _placeholder() -> Callable[[], None]:
    def run() -> None:
        """Stand in for a command that has not been imported."""

    return run
