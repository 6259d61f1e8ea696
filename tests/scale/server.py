"""A PostgreSQL server of its own in a temporary folder, from the system's packages (Debian: ``postgresql``)."""

import os
import pwd
import shutil
import socket
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


def programs() -> Path | None:
    """Folder of the newest installed server's programs, or None."""
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"), key=lambda p: int(p.parts[-3]))
    if found:
        return found[-1].parent
    elsewhere = shutil.which("initdb")
    return Path(elsewhere).resolve().parent if elsewhere else None


@contextmanager
def postgres(folder: Path) -> Iterator[str]:
    """Start a server in ``folder``, yield the URL of an empty database, and stop the server."""
    where = programs()
    if where is None:
        raise SystemExit("no PostgreSQL server is installed here (Debian: apt-get install postgresql)")
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    data, log = folder / "data", folder / "log"
    user = "postgres" if os.geteuid() == 0 else pwd.getpwuid(os.geteuid()).pw_name
    folder.chmod(0o755)
    data.mkdir()
    if os.geteuid() == 0:  # the server refuses to run as root
        account = pwd.getpwnam("postgres")
        os.chown(folder, account.pw_uid, account.pw_gid)
        os.chown(data, account.pw_uid, account.pw_gid)
    who: dict[str, str] = {"user": "postgres"} if os.geteuid() == 0 else {}

    def run(program: str, *words: str) -> None:
        subprocess.run(
            [str(where / program), *words], check=True, cwd=folder, stdout=subprocess.DEVNULL, **who
        )

    run("initdb", "-D", str(data), "-U", user, "-A", "trust")
    options = f"-p {port} -k {folder} -c listen_addresses=127.0.0.1"
    run("pg_ctl", "-D", str(data), "-l", str(log), "-w", "-o", options, "start")
    try:
        yield f"postgresql+psycopg://{user}@127.0.0.1:{port}/postgres"
    finally:
        run("pg_ctl", "-D", str(data), "-m", "fast", "-w", "stop")
