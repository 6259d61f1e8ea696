"""One file that holds a whole store, and a store made from one.

The file is a ZIP with ``backup.json`` (its ``format`` and the digests), ``plugsight.sqlite`` and ``files/<digest>``.
Raise ``FORMAT`` when a name or its meaning changes, and keep reading the older numbers.
"""

import hashlib
import json
import os
import re
import shutil
import sqlite3
import tempfile
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path

from plugsight.durable import sync_folder
from plugsight.store.blobs import Blobs
from plugsight.store.connection import reading
from plugsight.store.location import locate
from plugsight.store.store import Store
from plugsight.store.verify import Tick, referenced
from plugsight.vocabulary.errors import StoreError

FORMAT = 1
_MANIFEST, _DATABASE, _FILES = "backup.json", "plugsight.sqlite", "files/"
_DIGEST = re.compile(r"[0-9a-f]{64}")
_LARGEST_FILE = 500_000_000
"""Bytes: no photo is larger; a file that claims more is not ours."""
_LARGEST_MANIFEST = 200_000_000


@dataclass(frozen=True, slots=True)
class Backup:
    """What a backup file holds."""

    path: Path
    files: int


def back_up(store: Store, target: Path, tick: Tick | None = None) -> Backup:
    """Copy a store into one file, written aside and renamed when whole; the store may be in use meanwhile.

    Raises
    ------
    StoreError
        A server store (its own tools do that), a damaged photo, a full disk.

    """
    if store.location.database is None:
        raise StoreError(
            f"store {store.location}: a server is backed up with its own tools (pg_dump), "
            f"together with the folder {store.location.files}."
        )
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(dir=target.parent, prefix=".backup.") as aside:
            made = Path(aside) / "whole.zip"
            count = _write(store, Path(aside) / _DATABASE, made, tick)
            with made.open("rb") as file:
                os.fsync(file.fileno())
            made.replace(target)
        sync_folder(target.parent)
    except (OSError, sqlite3.Error) as problem:
        raise StoreError(
            f"backup {target}: could not be written ({problem}). Choose another place."
        ) from problem
    return Backup(target, count)


def restore(source: Path, where: str | Path | None, tick: Tick | None = None) -> Backup:
    """Make a new store from a backup; an existing store is never overwritten.

    Everything is checked before the database takes its name, so a cut on the way leaves no store, not half of one.
    """
    location = locate(where)
    database = location.database
    if database is None:
        raise StoreError(f"store {location}: a server is restored with its own tools. Give a folder.")
    if database.exists():
        raise StoreError(f"store {location}: there is a store already. Restore into an empty folder.")
    with _opened(source) as whole:
        digests = _manifest(whole, source)
        try:
            _restore_files(whole, digests, Blobs(location.files), source, tick)
            _restore_database(_read(whole, _DATABASE, source), database, source)
        except sqlite3.Error as problem:
            raise _damaged(source, "its database is broken") from problem
        except OSError as problem:
            raise StoreError(
                f"store {location}: could not be written ({problem.strerror}). "
                "Free some space or choose another place; no store was made."
            ) from problem
    return Backup(source, len(digests))


def _restore_files(
    whole: zipfile.ZipFile, digests: tuple[str, ...], blobs: Blobs, source: Path, tick: Tick | None
) -> None:
    for number, digest in enumerate(digests, 1):
        data = _read(whole, _FILES + digest, source)
        if hashlib.sha256(data).hexdigest() != digest:
            raise _damaged(source, f"photo {digest[:12]} has changed")
        blobs.put(data)
        if tick is not None:
            tick(number, len(digests))


def _write(store: Store, snapshot: Path, made: Path, tick: Tick | None) -> int:
    # SQLite's own backup gives one moment of a store in use; files are never deleted, so those it names are there.
    with (
        closing(sqlite3.connect(str(store.location.database))) as live,
        closing(sqlite3.connect(snapshot)) as copy,
    ):
        live.backup(copy)
    with (
        Store.open(snapshot, files=store.location.files) as frozen,
        reading(frozen.engine, frozen.location) as c,
    ):
        digests = referenced(c)
    with closing(sqlite3.connect(snapshot)) as copy:
        copy.execute("PRAGMA journal_mode=DELETE")  # one file, no log beside it
    with zipfile.ZipFile(made, "w", zipfile.ZIP_STORED) as whole:
        whole.writestr(_MANIFEST, json.dumps({"format": FORMAT, "digests": digests}))
        whole.write(snapshot, _DATABASE, zipfile.ZIP_DEFLATED)
        for number, digest in enumerate(digests, 1):
            whole.writestr(_FILES + digest, store.blob(digest))
            if tick is not None:
                tick(number, len(digests))
    return len(digests)


@contextmanager
def _opened(source: Path) -> Iterator[zipfile.ZipFile]:
    try:
        with zipfile.ZipFile(source) as whole:
            yield whole
    except (OSError, zipfile.BadZipFile, NotImplementedError, EOFError) as problem:
        raise StoreError(f"backup {source}: can't be read ({problem}). Choose another backup.") from problem


def _manifest(whole: zipfile.ZipFile, source: Path) -> tuple[str, ...]:
    try:
        plain = json.loads(_read(whole, _MANIFEST, source, _LARGEST_MANIFEST))
        number, digests = plain["format"], tuple(plain["digests"])
    except (ValueError, KeyError, TypeError, RecursionError) as problem:
        raise _damaged(source, "its list of contents can't be read") from problem
    if number != FORMAT:
        raise StoreError(
            f"backup {source}: format {number}, this plugsight reads {FORMAT}. Update plugsight."
        )
    if not all(isinstance(d, str) and _DIGEST.fullmatch(d) for d in digests):
        raise _damaged(source, "its list of contents is wrong")
    return digests


def _read(whole: zipfile.ZipFile, name: str, source: Path, largest: int = _LARGEST_FILE) -> bytes:
    try:
        about = whole.getinfo(name)
        if about.file_size > largest:
            raise _damaged(source, f"'{name[:40]}' is too large")
        return whole.read(about)
    except (KeyError, zipfile.BadZipFile, zlib.error, ValueError, RuntimeError, OSError, EOFError) as problem:
        raise _damaged(source, f"'{name[:40]}' is missing or broken") from problem


def _restore_database(data: bytes, database: Path, source: Path) -> None:
    database.parent.mkdir(parents=True, exist_ok=True)
    aside = Path(tempfile.mkdtemp(dir=database.parent, prefix=".restore."))
    try:
        copy = aside / _DATABASE
        copy.write_bytes(data)
        with Store.open(copy):  # a newer, foreign or damaged database is refused here, in words
            pass
        with closing(sqlite3.connect(copy)) as raw:
            if raw.execute("PRAGMA integrity_check").fetchone() != ("ok",):
                raise _damaged(source, "its database is broken")
            raw.execute("PRAGMA journal_mode=DELETE")
        with copy.open("rb") as file:
            os.fsync(file.fileno())
        copy.replace(database)
        sync_folder(database.parent)
    finally:
        shutil.rmtree(aside, ignore_errors=True)


def _damaged(source: Path, what: str) -> StoreError:
    return StoreError(f"backup {source}: {what}. Choose another backup.")
