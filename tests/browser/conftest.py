"""A real server on a store of its own, and a real browser that a test drives as a person would."""

import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

PHONE = {"width": 390, "height": 844}
DESKTOP = {"width": 1280, "height": 900}
START = "import sys; from plugsight.page import serve; serve(store=sys.argv[1], port=int(sys.argv[2]), open_browser=False)"


@dataclass
class Server:
    """The page's server in a process of its own; can be killed and started again on the same store."""

    store: Path
    port: int
    process: subprocess.Popen[bytes] | None = None

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.port}/"

    def start(self) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-c", START, str(self.store), str(self.port)],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            env={**os.environ, "XDG_CONFIG_HOME": str(self.store / "config")},
        )
        for _ in range(240):
            try:
                with urllib.request.urlopen(self.url + "_stcore/health", timeout=1):  # noqa: S310 (loopback)
                    return
            except (urllib.error.URLError, OSError):
                time.sleep(0.25)
        raise TimeoutError("the page's server did not answer within a minute")

    def kill(self) -> None:
        if self.process is not None:
            self.process.kill()
            self.process.wait(10)


@pytest.fixture(scope="module")
def server(tmp_path_factory) -> Iterator[Server]:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    running = Server(tmp_path_factory.mktemp("store"), port)
    running.start()
    yield running
    running.kill()


@pytest.fixture(scope="session")
def browser():
    sync_api = pytest.importorskip(
        "playwright.sync_api",
        reason="playwright is not installed (pip install playwright): no page was driven",
    )
    found = next(
        (path for name in ("chromium", "chromium-browser", "google-chrome") if (path := shutil.which(name))),
        None,
    )
    if found is None:
        pytest.skip("no chromium on this machine (apt install chromium): no page was driven")
    with sync_api.sync_playwright() as tools:
        running = tools.chromium.launch(executable_path=found, args=["--no-sandbox"])
        yield running
        running.close()


@pytest.fixture(scope="session")
def photos() -> list[Path]:
    """The demo engine's rendered photos, plug 1 to 4."""
    folder = Path(__file__).parents[2] / "plugsight" / "cli" / "demo" / "photos"
    return [folder / f"{k}_side.jpg" for k in (1, 2, 3, 4)]
