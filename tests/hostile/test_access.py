"""The page's doors, by the command that knocks at them."""

import subprocess
import sys
from pathlib import Path


def test_every_door_holds() -> None:
    command = [sys.executable, "-W", "ignore", str(Path(__file__).with_name("access.py"))]
    done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=600)
    assert done.returncode == 0, done.stdout + done.stderr
    assert "held   11 paths" in done.stdout
