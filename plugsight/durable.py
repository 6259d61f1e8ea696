"""Files that are whole or not there, also after a cut: written aside, synced, renamed, the folder synced."""

import os
import tempfile
from pathlib import Path


def write_whole(path: Path, data: bytes) -> Path:
    """Write ``data`` as ``path``, replacing what stands there; its folder is made where needed. Raises ``OSError``."""
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name[:100]}.")
    aside = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        aside.chmod(0o644)  # a temporary file is its owner's alone
        aside.replace(path)
    except BaseException:
        aside.unlink(missing_ok=True)
        raise
    sync_folder(path.parent)
    return path


def sync_tree(folder: Path) -> None:
    """Make every file and folder below ``folder`` last through a power cut."""
    for path in sorted(folder.rglob("*")):
        if path.is_file():
            with path.open("rb") as file:
                os.fsync(file.fileno())
        elif path.is_dir():
            sync_folder(path)
    sync_folder(folder)


def sync_folder(folder: Path) -> None:
    """Make renames in ``folder`` last through a power cut, where the system can."""
    if os.name == "nt":  # directories can't be opened for syncing there
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
