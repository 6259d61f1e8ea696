"""Cuts and second writers, with real processes: what was acknowledged is there, nothing is half-written."""

import errno
import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from plugsight.store import Store, StoredInspection, verify
from plugsight.vocabulary.errors import StoreError

KILLS = int(os.environ.get("PLUGSIGHT_KILLS", "3"))
"""A quick share; ``PLUGSIGHT_KILLS=200`` runs many."""

_WRITER = """
import sys
from plugsight.store import Store
with Store.open(sys.argv[1]) as store:
    inspection = store.new_inspection("Invented engine", "{}", invented=True).id
    number = 0
    while True:
        number += 1
        picture = f"{inspection} {number}".encode() * 2000
        store.add_photo(inspection, 1, "", "p.jpg", picture, "{}", picture[:-1], None)
        store.add_entry(inspection, "reading", str(number), cylinder=1)
        print(inspection, number, flush=True)
"""

_COUNTER = """
import sys
from plugsight.store import Store
with Store.open(sys.argv[1]) as store:
    for number in range(int(sys.argv[3])):
        store.add_entry(sys.argv[2], "reading", str(number), cylinder=int(sys.argv[4]))
"""


def test_nothing_acknowledged_is_lost_when_the_program_is_killed(tmp_path: Path) -> None:
    moments = random.Random(7)  # noqa: S311 - moments to cut at, no secret
    acknowledged: dict[str, int] = {}
    for kill in range(KILLS):
        with subprocess.Popen(
            [sys.executable, "-c", _WRITER, str(tmp_path)], stdout=subprocess.PIPE, text=True
        ) as writer:
            assert writer.stdout is not None
            said = writer.stdout.readline()  # up and writing
            time.sleep(moments.uniform(0.0, 0.15))
            os.kill(writer.pid, signal.SIGKILL)
            said += writer.stdout.read()
        inspection, number = said.strip().splitlines()[-1].split()
        acknowledged[inspection] = int(number)
        with Store.open(tmp_path) as store:
            assert verify(store).whole, f"after kill {kill}"
            for known, count in acknowledged.items():
                kept = store.load(known)
                assert [e.body_json for e in kept.entries][:count] == [str(n) for n in range(1, count + 1)]
                assert len(kept.photos) >= count


def test_two_processes_on_one_store_lose_no_update(store: Store, inspection: StoredInspection) -> None:
    each = 8
    place = str(store.location.database)
    writers = [
        subprocess.Popen([sys.executable, "-c", _COUNTER, place, inspection.id, str(each), cylinder])
        for cylinder in ("1", "1")
    ]
    assert [writer.wait(timeout=60) for writer in writers] == [0, 0]
    kept = store.load(inspection.id)
    assert kept.version == 1 + 2 * each
    numbers = sorted(e.number for e in kept.entries)
    assert numbers == list(range(1, 2 * each + 1))


def test_full_disk_says_so_and_leaves_the_store_as_it_was(
    store: Store, inspection: StoredInspection, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(_handle: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as patched:
        patched.setattr("plugsight.store.blobs.os.fsync", full)
        with pytest.raises(StoreError, match=r"No space left on device.*nothing was half-saved"):
            store.add_photo(inspection.id, 1, "", "a.jpg", b"picture", "{}")
    assert list((store.blobs.folder / ".aside").iterdir()) == []
    assert store.blobs.digests() == ()
    assert store.load(inspection.id) == inspection


def test_full_database_says_so_and_keeps_what_it_had(store: Store, inspection: StoredInspection) -> None:
    with store._reading() as c:
        pages = c.exec_driver_sql("PRAGMA page_count").scalar_one()
        c.exec_driver_sql(f"PRAGMA max_page_count={pages}")  # stands in for the full disk
    with pytest.raises(StoreError, match="the disk is full"):
        store.add_entry(inspection.id, "reading", "x" * 100_000, cylinder=1)
    assert store.load(inspection.id) == inspection
    assert verify(store).whole
