"""``streamlit run app.py``, as the README says: the page stands, on this machine only."""

import os
import socket
import subprocess
import sys
import time
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


@pytest.fixture
def port(tmp_path):
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        number = free.getsockname()[1]
    home = {**os.environ, "HOME": str(tmp_path), "PLUGSIGHT_STORE": str(tmp_path / "store")}
    command = [sys.executable, "-m", "streamlit", "run", "app.py", "--server.port", str(number)]
    running = subprocess.Popen(
        command, cwd=ROOT, env=home, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL
    )
    yield number
    running.kill()
    running.wait(10)


def _answers(host: str, port: int) -> bool:
    with socket.socket(socket.AF_INET6 if ":" in host else socket.AF_INET) as probe:
        probe.settimeout(2)
        return probe.connect_ex((host, port)) == 0


def test_the_page_stands_and_only_this_machine_reaches_it(browser, port):
    for _ in range(240):
        if _answers("127.0.0.1", port):
            break
        time.sleep(0.25)
    page = browser.new_page()
    page.goto(f"http://127.0.0.1:{port}/")
    page.wait_for_selector("text=no accuracy on real photographs is known", timeout=120_000)
    assert page.get_by_role("button", name="Begin").count() == 1
    # any other loopback address stands for the network: a server on all interfaces answers there too
    assert not _answers("127.0.0.2", port)
    page.close()
