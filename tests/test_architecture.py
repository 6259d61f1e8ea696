"""The road is a contract: rooms import only rooms above them, and causes never see a suggestion."""

import importlib
import os
import pkgutil
import subprocess
import sys
from pathlib import Path

import pytest

import plugsight

ROOT = Path(__file__).resolve().parent.parent
ROOMS = sorted(m.name for m in pkgutil.iter_modules(plugsight.__path__) if m.ispkg)


def test_every_contract_is_kept() -> None:
    done = subprocess.run(
        [str(Path(sys.executable).parent / "lint-imports"), "--no-cache"],
        cwd=ROOT,
        env={**os.environ, "NO_COLOR": "1"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr


@pytest.mark.parametrize("room", [r for r in ROOMS if r not in {"vocabulary", "synthetic"}])
def test_a_rooms_public_names_exist_and_are_explained(room: str) -> None:
    module = importlib.import_module(f"plugsight.{room}")
    for name in getattr(module, "__all__", ()):
        assert getattr(module, name).__doc__ or not callable(getattr(module, name)), f"{room}.{name}"


def test_no_file_is_longer_than_250_lines() -> None:
    long = {
        str(path.relative_to(ROOT)): lines
        for path in (ROOT / "plugsight").rglob("*.py")
        if (lines := len(path.read_text("utf-8").splitlines())) > 250
    }
    assert not long


def test_importing_the_command_line_stays_light() -> None:
    code = "import sys, plugsight.cli.main; print([m for m in ('streamlit', 'mitsuba', 'torch') if m in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
