"""A full disk, a read-only store, a locked one, a clock that runs backwards, two writers: ``python tests/faults/disk.py``.

Where the system lets us (as the superuser on Linux) the disk is a real one, of 1 MB in memory, filled to the last byte
and then made read-only; elsewhere that part is skipped, and said so.
"""

import argparse
import contextlib
import os
import random
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

from plugsight.cli.report_files import write_aside
from plugsight.store import Store, back_up, connection, inspections, restore, verify
from plugsight.store.conflict import Conflict
from plugsight.vocabulary.errors import PlugsightError

DISK_KILOBYTES = 1000


class Skipped(Exception):
    """What can't be tried on this system."""


def must(*, be: bool, words: str) -> None:
    """Raise where something that must be isn't."""
    if not be:
        raise AssertionError(words)


@contextlib.contextmanager
def small_disk(folder: Path) -> Iterator[Path]:
    """Mount a small disk of its own; ``Skipped`` where that is not allowed."""
    disk = folder / "disk"
    disk.mkdir()
    try:
        made = subprocess.run(
            ["mount", "-t", "tmpfs", "-o", f"size={DISK_KILOBYTES}k", "none", str(disk)],
            check=False,
            capture_output=True,
        )
    except OSError as problem:
        raise Skipped("no mount command") from problem
    if made.returncode:
        raise Skipped("a disk can be mounted by the superuser only")
    try:
        yield disk
    finally:
        subprocess.run(["umount", "-l", str(disk)], check=True)


def full_disk(folder: Path, count: int) -> str:
    """Save until the disk is full, look at what is there, free some space, go on; many times."""
    refused = 0
    with small_disk(folder) as disk:
        for turn in range(count):
            place = disk / f"store{turn}"
            with Store.open(place) as store:
                refused += _fill_up(disk, store, turn)
            shutil.rmtree(place)
    must(be=refused > count // 2, words=f"only {refused} refusals: the disk was not full")
    return f"{count} times full, {refused} refusals, everything acknowledged kept"


def _fill_up(disk: Path, store: Store, turn: int) -> int:
    """Write until a write is refused, then see that the store is whole and works again; 1 if one was refused."""
    chance, refused, kept = random.Random(turn), 0, 0  # noqa: S311 - sizes, no secret
    case = store.new_inspection("Invented engine", "{}", invented=True).id
    free = os.statvfs(disk).f_bavail * os.statvfs(disk).f_frsize
    (disk / "ballast").write_bytes(bytes(max(0, free - chance.randrange(0, 150_000))))
    report, backup = disk / "report.html", disk / "b.zip"
    for step in range(40):
        try:
            store.add_entry(case, "reading", f"{step} {'x' * 3000}", cylinder=1)
            kept += 1
            store.add_photo(case, 1, "", "p.jpg", f"{turn} {step}".encode() * 900, "{}")
            write_aside(report, b"<p>" * 5000)
            back_up(store, backup)
        except PlugsightError as problem:
            must(be=". " in str(problem), words=f"no remedy: {problem}")
            refused = 1
            break
    (disk / "ballast").unlink()
    must(be=verify(store).whole, words=f"turn {turn}: {verify(store).faults}")
    must(be=len(store.load(case).entries) == kept, words=f"turn {turn}: {kept} said, fewer there")
    must(be=not report.exists() or report.stat().st_size == 15_000, words="half a report")
    if backup.exists():
        restore(backup, disk / "again")
        shutil.rmtree(disk / "again")
    spare = [str(p) for p in disk.rglob("*") if p.name.startswith(".") and p.name != ".aside"]
    must(be=not spare, words=f"left behind: {spare}")
    store.add_entry(case, "reading", "goes on", cylinder=1)
    report.unlink(missing_ok=True)
    backup.unlink(missing_ok=True)
    return refused


def read_only(folder: Path, count: int) -> str:
    """Every write to a read-only disk is refused in words; reading goes on."""
    with small_disk(folder) as disk:
        with Store.open(disk / "store") as store:
            case = store.new_inspection("Invented engine", "{}", invented=True).id
        subprocess.run(["mount", "-o", "remount,ro", str(disk)], check=True)
        writes: tuple[Callable[[], object], ...] = (
            lambda: Store.open(disk / "other"),
            lambda: write_aside(disk / "r.html", b"x"),
        )
        refused = 0
        for write in writes:
            try:
                write()
            except PlugsightError as problem:
                must(be=". " in str(problem), words=f"no remedy: {problem}")
                refused += 1
        try:
            with Store.open(disk / "store") as store:
                store.load(case)
                for _ in range(count):
                    try:
                        store.add_entry(case, "reading", "{}", cylinder=1)
                    except PlugsightError as problem:
                        must(be="read-only" in str(problem), words=str(problem))
                        refused += 1
        except PlugsightError as problem:  # a log can't be made there: the store can't even be opened
            must(be=". " in str(problem), words=f"no remedy: {problem}")
            refused += count
    must(be=refused == count + 2, words=f"{count + 2 - refused} writes were not refused")
    return f"{refused} writes refused in words"


def locked(folder: Path, count: int) -> str:
    """A store that another program holds is said to be held; afterwards it works."""
    patience, connection.BUSY_SECONDS = connection.BUSY_SECONDS, 0.02
    with Store.open(folder / "locked") as store:
        case = store.new_inspection("Invented engine", "{}", invented=True).id
        for _ in range(count):
            other = sqlite3.connect(folder / "locked" / "plugsight.sqlite", isolation_level=None)
            other.execute("BEGIN IMMEDIATE")
            try:
                store.add_entry(case, "reading", "{}", cylinder=1)
            except PlugsightError as problem:
                must(be="another program holds the store" in str(problem), words=str(problem))
            else:
                raise AssertionError("a write went past the lock")
            other.close()
            store.load(case)
            store.add_entry(case, "reading", "{}", cylinder=1)
        must(be=len(store.load(case).entries) == count, words="entries are lost")
    connection.BUSY_SECONDS = patience
    return f"{count} times held, {count} times told, nothing lost"


def clock(folder: Path, count: int) -> str:
    """The clock jumps backwards before every write; times and versions only rise."""
    chance = random.Random(5)  # noqa: S311 - jumps, no secret

    class Jumping(datetime):
        @classmethod
        def now(cls, tz: object = None) -> datetime:
            assert tz is UTC
            return datetime(2026, 1, 1, tzinfo=UTC) + timedelta(days=chance.randrange(-900, 900))

    real, inspections.datetime = inspections.datetime, Jumping
    try:
        with Store.open(folder / "clock") as store:
            case = store.new_inspection("Invented engine", "{}", invented=True)
            last = (case.version, case.updated)
            for n in range(count):
                store.add_entry(case.id, "reading", str(n), cylinder=1)
                kept = store.load(case.id)
                must(be=(kept.version, kept.updated) > last, words="time ran backwards")
                must(
                    be=[e.body_json for e in kept.entries] == [*map(str, range(n + 1))], words="order is lost"
                )
                last = (kept.version, kept.updated)
    finally:
        inspections.datetime = real
    return f"{count} jumps, times and order kept"


def _decide_all(where: Path, case: str, who: str, count: int) -> int:
    won = 0
    with Store.open(where) as store:
        for plug in range(1, count + 1):
            store.add_entry(case, "reading", who, cylinder=plug)
            with contextlib.suppress(Conflict):
                store.add_entry(case, "confirmation", who, cylinder=plug)
                won += 1
    return won


def two_writers(folder: Path, count: int) -> str:
    """Two processes write to one inspection, and both decide the same plugs: one of them is told each time."""
    with Store.open(folder / "two") as store:
        case = store.new_inspection("Invented engine", "{}", invented=True).id
    children = []
    for who in ("a", "b"):
        reader, writer = os.pipe()
        child = os.fork()
        if child == 0:
            try:
                os.write(writer, str(_decide_all(folder / "two", case, who, count)).encode())
            finally:
                os._exit(0)
        os.close(writer)
        children.append((child, reader))
    won = []
    for child, reader in children:
        os.waitpid(child, 0)
        won.append(int(os.read(reader, 100) or b"-1"))
    with Store.open(folder / "two") as store:
        kept = store.load(case)
    decided = [e for e in kept.entries if e.kind == "confirmation"]
    must(be=sum(won) == len(decided) == count, words=f"{won} decisions acknowledged, {len(decided)} kept")
    must(be=len(kept.entries) == 3 * count and kept.version == 1 + 3 * count, words="an update is lost")
    return f"{2 * count} decisions on {count} plugs by two processes: {count} kept, {count} told"


TRIALS = {
    "full disk": full_disk,
    "read-only": read_only,
    "locked": locked,
    "clock": clock,
    "two writers": two_writers,
}


def main() -> int:
    """Print one line per trial; the exit code is 1 where one failed."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--count", type=int, default=60, help="how often in each trial")
    given = parser.parse_args()
    failed = 0
    for name, trial in TRIALS.items():
        with tempfile.TemporaryDirectory() as aside:
            try:
                said = trial(Path(aside), given.count)
            except Skipped as why:
                said = f"skipped: {why}"
            except Exception as problem:  # noqa: BLE001 - whatever goes wrong is what is looked for
                said, failed = f"FAILED: {type(problem).__name__}: {problem}", failed + 1
        sys.stdout.write(f"{name:12} {said}\n")
    return min(1, failed)


if __name__ == "__main__":
    sys.exit(main())
