"""Take a foreign folder or zip apart without trusting it: only known names, plain files, bounded sizes."""

import re
import stat
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from plugsight.labels.lazily import Lazily
from plugsight.labels.write import COCO, README, SET
from plugsight.vocabulary.errors import InputError

IMAGE = re.compile(r"images/[0-9a-f]{64}\.(jpg|png)")
LIMIT_FILE = 60 * 2**20
LIMIT_ALL = 4 * 2**30
LIMIT_FILES = 50_000
REMEDY = "Nothing was imported. Ask for a set written by plugsight's own export."


def _wanted(name: str) -> bool:
    return name in (SET, COCO, README) or IMAGE.fullmatch(name) is not None


def files_of(source: Path) -> Lazily[bytes]:
    """Return the files of a set by name, each read when it is asked for.

    Raises
    ------
    InputError
        Where the source is missing, no zip, or holds a foreign name, a link, or more than the limits allow (a file
        that can't be read, when it is asked for). Names are matched against the few that a set has, so no path from
        the archive is ever used to write anything.

    """
    if source.is_dir():
        return _from_folder(source)
    with _readable(source):
        return _from_zip(source, zipfile.ZipFile(source))


@contextmanager
def _readable(source: Path) -> Iterator[None]:
    try:
        yield
    except (
        OSError, zipfile.BadZipFile, zlib.error, NotImplementedError, RuntimeError, EOFError, ValueError
    ) as error:  # fmt: skip
        raise InputError(str(source), "this is no readable zip", REMEDY, type(error).__name__) from error


def _from_zip(source: Path, archive: zipfile.ZipFile) -> Lazily[bytes]:
    entries = [entry for entry in archive.infolist() if not entry.is_dir()]
    _bounded(source, [(e.filename, e.file_size) for e in entries])
    by_name = {entry.filename: entry for entry in entries}
    for entry in entries:
        if stat.S_ISLNK(entry.external_attr >> 16):
            raise InputError(f"{source}: {entry.filename}", "a set holds no links", REMEDY)
    if len(by_name) < len(entries):
        raise InputError(str(source), "the same name stands twice", REMEDY)

    def read(name: str) -> bytes:
        with _readable(source), archive.open(by_name[name]) as stream:
            data = stream.read(LIMIT_FILE + 1)
        if len(data) != by_name[name].file_size:
            raise InputError(f"{source}: {name}", "the file is not as large as stated", REMEDY, len(data))
        return data

    return Lazily(by_name, read)


def _from_folder(source: Path) -> Lazily[bytes]:
    paths = [p for p in source.rglob("*") if p.is_symlink() or not p.is_dir()]
    links = [p for p in paths if p.is_symlink() or not p.is_file()]
    if links:
        raise InputError(str(links[0]), "a set holds plain files only", REMEDY)
    _bounded(source, [(p.relative_to(source).as_posix(), p.stat().st_size) for p in paths])

    def read(name: str) -> bytes:
        try:
            return (source / name).read_bytes()
        except OSError as error:
            raise InputError(f"{source}: {name}", "the file can't be read", REMEDY, error.strerror) from error

    return Lazily([p.relative_to(source).as_posix() for p in paths], read)


def _bounded(source: Path, files: list[tuple[str, int]]) -> None:
    if len(files) > LIMIT_FILES:
        raise InputError(str(source), f"a set has at most {LIMIT_FILES} files", REMEDY, len(files))
    for name, size in files:
        if not _wanted(name):
            raise InputError(str(source), "a file that no set has", REMEDY, name[:80])
        if size > LIMIT_FILE:
            raise InputError(f"{source}: {name}", f"a file has at most {LIMIT_FILE >> 20} MB", REMEDY, size)
    if sum(size for _, size in files) > LIMIT_ALL:
        raise InputError(str(source), f"a set has at most {LIMIT_ALL >> 30} GB", REMEDY)
