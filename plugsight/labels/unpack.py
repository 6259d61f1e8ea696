"""Take a foreign folder or zip apart without trusting it: only known names, plain files, bounded sizes."""

import re
import stat
import zipfile
from pathlib import Path

from plugsight.labels.write import COCO, README, SET
from plugsight.vocabulary.errors import InputError

IMAGE = re.compile(r"images/[0-9a-f]{64}\.(jpg|png)")
LIMIT_FILE = 60 * 2**20
LIMIT_ALL = 4 * 2**30
LIMIT_FILES = 50_000
REMEDY = "Nothing was imported. Ask for a set written by plugsight's own export."


def _wanted(name: str) -> bool:
    return name in (SET, COCO, README) or IMAGE.fullmatch(name) is not None


def files_of(source: Path) -> dict[str, bytes]:
    """Return the files of a set by name.

    Raises
    ------
    InputError
        Where the source is missing, no zip, or holds a foreign name, a link, or more than the limits allow. Names are
        matched against the few that a set has, so no path from the archive is ever used to write anything.

    """
    if source.is_dir():
        return _from_folder(source)
    try:
        with zipfile.ZipFile(source) as archive:
            return _from_zip(source, archive)
    except (OSError, zipfile.BadZipFile, NotImplementedError, RuntimeError, EOFError) as error:
        raise InputError(str(source), "this is no readable zip", REMEDY, type(error).__name__) from error


def _from_zip(source: Path, archive: zipfile.ZipFile) -> dict[str, bytes]:
    entries = [entry for entry in archive.infolist() if not entry.is_dir()]
    _bounded(source, [(e.filename, e.file_size) for e in entries])
    found: dict[str, bytes] = {}
    for entry in entries:
        if stat.S_ISLNK(entry.external_attr >> 16):
            raise InputError(f"{source}: {entry.filename}", "a set holds no links", REMEDY)
        if entry.filename in found:
            raise InputError(f"{source}: {entry.filename}", "the same name stands twice", REMEDY)
        with archive.open(entry) as stream:
            data = stream.read(LIMIT_FILE + 1)
        if len(data) != entry.file_size:
            raise InputError(
                f"{source}: {entry.filename}", "the file is not as large as stated", REMEDY, len(data)
            )
        found[entry.filename] = data
    return found


def _from_folder(source: Path) -> dict[str, bytes]:
    paths = [p for p in source.rglob("*") if p.is_symlink() or not p.is_dir()]
    links = [p for p in paths if p.is_symlink() or not p.is_file()]
    if links:
        raise InputError(str(links[0]), "a set holds plain files only", REMEDY)
    _bounded(source, [(p.relative_to(source).as_posix(), p.stat().st_size) for p in paths])
    return {p.relative_to(source).as_posix(): p.read_bytes() for p in paths}


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
