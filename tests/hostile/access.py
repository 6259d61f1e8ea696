"""Start the page as a person would and knock at its doors: ``python tests/hostile/access.py``.

By default it must answer on this machine alone, to pages of its own alone, hand out no file, and refuse what is too
large. With ``--phone`` the network is answered: that shows that the first of these can fail.
"""

import base64
import contextlib
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator

with socket.socket() as free:
    free.bind(("127.0.0.1", 0))
    PORT: int = free.getsockname()[1]
PATIENCE = 120.0
PATHS = (
    "/../../../../etc/passwd",
    "/%2e%2e/%2e%2e/%2e%2e/etc/passwd",
    "/media/../../../etc/passwd",
    "/media/%2e%2e%2f%2e%2e%2fetc%2fpasswd",
    "/app/static/../../../../etc/passwd",
    "/static/..%2f..%2f..%2fetc%2fpasswd",
    "/component/../../../etc/passwd",
    "/_stcore/../../etc/passwd",
    "//etc/passwd",
    "/plugsight.sqlite",
    "/files/plugsight.sqlite",
)


def ask(address: str, request: bytes) -> bytes:
    """Send raw bytes and return what comes back (empty where nobody answers)."""
    try:
        with socket.create_connection((address, PORT), timeout=20) as knock:
            with contextlib.suppress(OSError):  # it may hang up before everything is sent
                knock.sendall(request)
            said = b""
            with contextlib.suppress(OSError):
                while len(said) < 200_000 and (part := knock.recv(65536)):
                    said += part
            return said
    except OSError:
        return b""


def get(path: str, **headers: str) -> bytes:
    """Return a GET request."""
    lines = [f"GET {path} HTTP/1.1", f"Host: 127.0.0.1:{PORT}", "Connection: close"]
    lines += [f"{name.replace('_', '-')}: {value}" for name, value in headers.items()]
    return ("\r\n".join(lines) + "\r\n\r\n").encode()


def upgrade(origin: str) -> bytes:
    """Return a request for the page's own connection, as a page of ``origin`` would send it."""
    key = base64.b64encode(bytes(16)).decode()
    return get(
        "/_stcore/stream",
        Origin=origin,
        Upgrade="websocket",
        Sec_WebSocket_Key=key,
        Sec_WebSocket_Version="13",
    ).replace(b"Connection: close", b"Connection: Upgrade")


def status(said: bytes) -> int:
    """Return the status of an answer, 0 where there was none."""
    first = said.split(b"\r\n", 1)[0].split(b" ")
    return int(first[1]) if len(first) > 1 and first[1].isdigit() else 0


def network_address() -> str:
    """Return this machine's address in its network, empty where it has none."""
    with contextlib.suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        probe.connect(("192.0.2.1", 9))  # sends nothing: only chooses the way
        name = str(probe.getsockname()[0])
        return "" if name.startswith("127.") else name
    return ""


@contextlib.contextmanager
def page(*more: str) -> Iterator[bool]:
    """Run the page; False where it did not come up in time."""
    with tempfile.TemporaryDirectory() as aside:
        command = [
            sys.executable,
            "-c",
            "from plugsight.cli.main import app; app()",
            "page",
            "--no-browser",
        ]
        server = subprocess.Popen(
            [*command, "--port", str(PORT), "--store", aside, *more],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        try:
            up, until = False, time.monotonic() + PATIENCE
            while not up and time.monotonic() < until and server.poll() is None:
                up = status(ask("127.0.0.1", get("/_stcore/health"))) == 200
                time.sleep(0.3)
            yield up
        finally:
            server.terminate()
            server.wait(20)


def knocks() -> Iterator[tuple[str, bool]]:
    """What was tried at the page as it starts by default, and whether it held."""
    lan = network_address()
    if lan:
        yield f"answers at 127.0.0.1 and not at {lan}", not ask(lan, get("/_stcore/health"))
    leaks = [p for p in PATHS if b"root:" in (said := ask("127.0.0.1", get(p))) or b"SQLite format" in said]
    yield f"{len(PATHS)} paths out of its folder give no file", not leaks
    yield "its own page is let in", status(ask("127.0.0.1", upgrade(f"http://127.0.0.1:{PORT}"))) == 101
    strangers = ("http://evil.example", "null", f"http://evil.example:{PORT}")
    let_in = [o for o in strangers if status(ask("127.0.0.1", upgrade(o))) == 101]
    yield f"{len(strangers)} foreign pages are not let in", not let_in
    long_header = status(ask("127.0.0.1", get("/", X_Long="x" * 2_000_000)))
    yield "a header of 2 MB is refused", long_header in (0, 400, 413, 414, 431)
    head = f"POST /_stcore/upload_file/s/f HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: {10**12}\r\n\r\n"
    huge = status(ask("127.0.0.1", head.encode() + bytes(100_000)))
    yield "an upload of 1 TB is refused", huge in (0, 400, 403, 404, 405, 413)
    yield "it still works after that", status(ask("127.0.0.1", get("/_stcore/health"))) == 200


def main() -> int:
    """Print one line per door; the exit code is 1 where one stood open."""
    failed = 0
    with page() as up:
        held = [("the page comes up", up), *(knocks() if up else ())]
    if network_address():
        with page("--phone"):
            answered = status(ask(network_address(), get("/_stcore/health"))) == 200
        held.append(("asked to with --phone, it answers the network", answered))
    for words, good in held:
        failed += not good
        sys.stdout.write(f"{'held' if good else 'FAILED':6} {words}\n")
    return min(1, failed)


if __name__ == "__main__":
    sys.exit(main())
