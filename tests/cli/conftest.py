"""A command runner, engine files to write, and the demo's photos."""

from collections.abc import Callable
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from plugsight.cli.demo_command import DEMO
from plugsight.cli.main import app

PHOTOS = DEMO.parent / "photos"

Run = Callable[..., Result]
Write = Callable[[str], Path]

HEAD = """
who = "A. Tester"
invented = true
[engine]
name = "Invented twin"
cylinders = 2
[plug]
thread = "M14x1.25"
gap = "0.7-0.8 mm"
"""


@pytest.fixture
def photos() -> Path:
    return PHOTOS


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Run:
    """Run ``plugsight`` with a store of its own; results and messages come back together in ``output``."""
    monkeypatch.setenv("PLUGSIGHT_STORE", str(tmp_path / "store"))
    monkeypatch.setenv("COLUMNS", "500")
    monkeypatch.delenv("PLUGSIGHT_WHO", raising=False)
    monkeypatch.chdir(tmp_path)

    def runner(*arguments: str | Path, typed: str | None = None) -> Result:
        return CliRunner().invoke(app, [str(a) for a in arguments], input=typed)

    return runner


@pytest.fixture
def write(tmp_path: Path) -> Write:
    """Write an engine file: the usual head, then what is given."""

    def writer(rest: str, head: str = HEAD) -> Path:
        path = tmp_path / "engine.toml"
        path.write_text(head + rest)
        return path

    return writer
