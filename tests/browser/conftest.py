"""A real server on a store of its own, and a real browser that a test drives as a person would."""

import os
import re
import shutil
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

PHONE = {"width": 390, "height": 844}
DESKTOP = {"width": 1366, "height": 850}
LAST = ".ps-quiet:has-text('no accuracy on real photographs is known')"
"""The sentence that closes every view; a model's card, folded away, holds the same words."""
START = (
    "import sys; from plugsight.page import serve; "
    "serve(store=sys.argv[1], port=int(sys.argv[2]), open_browser=False, phone=sys.argv[3] == 'phone')"
)


@dataclass
class Server:
    """The page's server in a process of its own; can be killed and started again on the same store."""

    store: Path
    port: int
    phone: bool = False
    process: subprocess.Popen[bytes] | None = None

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.port}/"

    def start(self) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-c", START, str(self.store), str(self.port), "phone" if self.phone else "here"],
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
def server(tmp_path_factory, request) -> Iterator[Server]:
    """One server a test file; a file that sets ``PHONE_MODE`` gets one that listens to the network."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    running = Server(tmp_path_factory.mktemp("store"), port, getattr(request.module, "PHONE_MODE", False))
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


@dataclass
class Person:
    """Somebody at the page: every touch and entry is counted."""

    page: Any
    url: str
    touches: int = 0

    def calm(self) -> None:
        """Wait until the script has run and nothing more comes."""
        self.page.wait_for_timeout(250)
        self.page.wait_for_function(
            "document.querySelector('[data-testid=stApp]')?.getAttribute('data-test-script-state') === 'notRunning'",
            timeout=90_000,
        )
        self.page.wait_for_timeout(150)

    def go(self, query: str = "") -> None:
        self.page.goto(self.url + query)
        self.arrived()

    def reload(self) -> None:
        self.page.reload()
        self.arrived()

    def arrived(self) -> None:
        """Wait for the sentence that closes every view: then the whole view is there."""
        self.page.wait_for_selector(LAST, timeout=90_000)
        # parts of the page that are fetched late stand as grey blocks until then
        self.page.wait_for_selector("[data-testid=stSkeleton]", state="detached", timeout=60_000)
        self.page.wait_for_load_state("networkidle")
        self.calm()

    def reads(self, label: str, text: str) -> None:
        """Wait until an entry shows a text; fails when it does not come."""
        self.page.wait_for_function(
            "([label, text]) => [...document.querySelectorAll('input')].some("
            "box => box.getAttribute('aria-label') === label && box.value === text)",
            arg=[label, text],
            timeout=30_000,
        )

    def there(self, words: str) -> bool:
        return bool(self.page.get_by_role("button", name=words).count())

    def tap(self, words: str | re.Pattern[str], *, exact: bool = False, last: bool = False) -> None:
        found = self.page.get_by_role("button", name=words, exact=exact)
        found = found.or_(self.page.get_by_role("radio", name=words, exact=exact))
        (found.last if last else found.first).click()
        self.touches += 1
        self.calm()

    def write(self, label: str, text: str) -> None:
        box = self.page.get_by_role("textbox", name=label)
        box.fill(text)
        box.press("Tab")
        self.calm()

    def upload(self, photo: Path) -> None:
        self.page.set_input_files("[data-testid=stFileUploader] input", photo)
        self.touches += 1
        self.page.wait_for_selector("text=Take this photo out", timeout=90_000)
        self.calm()

    def begin(self, engine: str) -> None:
        self.go()
        self.write("Engine (as you", engine)
        self.write("Your name or initials", "R. Vale")
        self.tap("Begin")
        self.page.wait_for_selector("text=Before unplugging anything", timeout=60_000)
        self.calm()

    def query(self, view: str) -> str:
        """Address of another view of the inspection that is open."""
        return "?" + re.sub(r"v=\w+", f"v={view}", self.page.url.partition("?")[2])


@pytest.fixture
def person(browser, server) -> Iterator[Callable[..., Person]]:
    """Open the page for one more person, at phone or desktop size, in light or dark."""
    opened = []

    def open_page(size: dict[str, int] | None = None, scheme: str = "light") -> Person:
        context = browser.new_context(viewport=size or PHONE, color_scheme=scheme)
        context.set_default_timeout(30_000)
        opened.append(context)
        return Person(context.new_page(), server.url)

    yield open_page
    for context in opened:
        context.close()


@pytest.fixture
def desktop() -> dict[str, int]:
    return DESKTOP


@pytest.fixture(scope="session")
def photos() -> list[Path]:
    """The demo engine's rendered photos, plug 1 to 4."""
    folder = Path(__file__).parents[2] / "plugsight" / "cli" / "demo" / "photos"
    return [folder / f"{k}_side.jpg" for k in (1, 2, 3, 4)]
