"""The quick part of the attack: the command itself, on about 200 inputs (``attack.py --count 5000`` is the long one)."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

ATTACK = Path(__file__).with_name("attack.py")


@pytest.mark.skipif(not hasattr(os, "fork"), reason="each kind of file is attacked in a forked process")
def test_everything_holds_on_200_hostile_inputs() -> None:
    command = [sys.executable, "-W", "ignore", str(ATTACK), "--count", "200", "--seed", "7"]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    assert "everything held" in done.stdout
