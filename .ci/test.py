"""The test command: makes its own virtual environment, installs everything, runs every gate.

    python3 .ci/test.py

Needs Python 3.11 or later and nothing else. Browser tests use the system's Chromium. Where there is none, they are
skipped and the summary says so; in CI (``CI=true``), or with ``--install-browser``, Debian's ``chromium`` package is
installed first when this process may do that.
"""

import argparse
import os
import shutil
import subprocess
import sys
import venv
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
BROWSERS = ("chromium", "chromium-browser", "google-chrome", "chrome")


def find_browser() -> str | None:
    """Return the path of a Chromium on this machine, or None."""
    return next((path for name in BROWSERS if (path := shutil.which(name))), None)


def install_browser() -> str:
    """Try Debian's package; return why it could not be done, or an empty string."""
    if shutil.which("apt-get") is None:
        return "no apt-get on this machine"
    if os.geteuid() != 0:
        return "not root, so no system package can be installed"
    quiet = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    for command in (["apt-get", "update", "-qq"], ["apt-get", "install", "-y", "-qq", "chromium"]):
        done = subprocess.run(command, env=quiet, check=False, capture_output=True, text=True)
        if done.returncode:
            return f"{' '.join(command)} failed: {done.stderr.strip().splitlines()[-1:]}"
    return ""


def main() -> int:
    """Run the gates in order; stop at the first that fails."""
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    options.add_argument("--install-browser", action="store_true", help="may install the system's Chromium")
    options.add_argument("--venv", type=Path, default=ROOT / ".venv-test", help="where the environment goes")
    chosen = options.parse_args()
    if sys.version_info < (3, 11):
        print(f"plugsight needs Python 3.11 or later; this is {sys.version.split()[0]}")
        return 2
    skipped = ""
    if find_browser() is None:
        may = chosen.install_browser or os.environ.get("CI") == "true"
        skipped = install_browser() if may else "no Chromium here, and --install-browser was not given"
    bin_folder = chosen.venv / ("Scripts" if os.name == "nt" else "bin")
    python = str(bin_folder / "python")
    if not (bin_folder / "pip").exists() and not (bin_folder / "pip.exe").exists():
        venv.create(chosen.venv, with_pip=True, clear=True)
    gates: list[tuple[str, list[str]]] = [
        ("install", [python, "-m", "pip", "install", "--quiet", "--editable", f"{ROOT}[dev]"]),
        ("lint", [python, "-m", "ruff", "check", "plugsight", "tests", "app.py"]),
        ("format", [python, "-m", "ruff", "format", "--check", "plugsight", "tests", "app.py"]),
        ("types", [python, "-m", "mypy"]),
        ("tests", [python, "-m", "pytest", "-q"]),
    ]
    one_thread = {"OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1"}  # small arrays: threads only cost here
    for name, command in gates:
        print(f"--- {name}", flush=True)
        code = subprocess.run(command, cwd=ROOT, env={**os.environ, **one_thread}, check=False).returncode
        if code:
            print(f"--- {name} failed (exit {code})")
            return code
    if skipped:
        print(f"--- skipped: tests/browser, because {skipped}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
