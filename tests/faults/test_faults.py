"""The quick part of the fault commands: the commands themselves, with few turns."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

HERE = Path(__file__).parent


@pytest.mark.skipif(not hasattr(os, "fork"), reason="the commands fork")
@pytest.mark.parametrize(
    ("command", "count", "held"), [("cut.py", 12, "nothing lost"), ("disk.py", 8, "two writers  16")]
)
def test_faults_lose_nothing(command: str, count: int, held: str) -> None:
    asked = [sys.executable, "-W", "ignore", str(HERE / command), "--count", str(count)]
    done = subprocess.run(asked, capture_output=True, text=True, check=False, timeout=600)
    assert done.returncode == 0, done.stdout + done.stderr
    assert held in done.stdout
