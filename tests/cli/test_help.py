"""Help: quick, whole, and the same words in the list as in the command itself."""

import subprocess
import sys
from collections.abc import Callable
from importlib import import_module

import pytest
from typer.testing import Result

from plugsight import __version__
from plugsight.cli.main import COMMANDS

Run = Callable[..., Result]

HEAVY = (
    "streamlit",
    "sklearn",
    "sqlalchemy",
    "cv2",
    "numpy",
    "mitsuba",
    "plugsight.training",
    "plugsight.page",
)


def test_list_of_commands_names_every_one(run: Run) -> None:
    result = run("--help")
    assert result.exit_code == 0
    for command in COMMANDS:
        assert f" {command.name} " in result.output
        assert command.help in result.output


@pytest.mark.parametrize("command", COMMANDS, ids=lambda c: c.name)
def test_each_command_has_its_own_help_with_the_listed_words(run: Run, command: object) -> None:
    result = run(command.name, "--help")
    assert result.exit_code == 0
    module, function = command.where.split(":")
    first = getattr(import_module(module), function).__doc__.strip().splitlines()[0]
    assert first.startswith(command.help.rstrip("."))
    assert command.help.rstrip(".") in result.output


def test_help_imports_nothing_heavy() -> None:
    code = (
        "import sys\nfrom plugsight.cli.main import app\n"
        "try:\n    app(['--help'])\nexcept SystemExit:\n    pass\n"
        f"print('HEAVY', [m for m in {HEAVY!r} if m in sys.modules])"
    )
    said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout
    assert said.splitlines()[-1] == "HEAVY []"


def test_version(run: Run) -> None:
    assert run("--version").output.strip() == f"plugsight {__version__}"


@pytest.mark.parametrize("arguments", [["nosuch"], ["look"], ["list", "--limit", "many"]])
def test_wrong_usage_is_exit_code_2(run: Run, arguments: list[str]) -> None:
    assert run(*arguments).exit_code == 2


def test_near_miss_of_a_command_is_suggested(run: Run) -> None:
    assert "Did you mean 'engine'?" in run("engin").output
