"""Photos and pictures as files named by what is in them."""

import hashlib
import os
import re
import tempfile
from pathlib import Path

from plugsight.durable import sync_folder
from plugsight.vocabulary.errors import StoreError

_DIGEST = re.compile(r"[0-9a-f]{64}")
_ASIDE = ".aside"


class Blobs:
    """A folder of files, each at ``ab/cd/<sha256>``: the name is computed, never taken from a person's text."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def put(self, data: bytes) -> str:
        """Keep ``data`` and return its SHA-256 as hex digits.

        Written aside, synced, then renamed: a cut at any moment leaves the whole file or none. The same bytes twice
        are one file; a damaged file of that name is replaced.
        """
        digest = hashlib.sha256(data).hexdigest()
        target = self.path(digest)
        try:
            if target.is_file() and hashlib.sha256(target.read_bytes()).hexdigest() == digest:
                return digest
            self._write(target, data)
        except OSError as problem:
            raise StoreError(
                f"photos {self.folder}: could not be saved ({problem.strerror or problem}). "
                "Check free space and write access, then try again; nothing was half-saved."
            ) from problem
        return digest

    def get(self, digest: str) -> bytes:
        """Return the bytes of ``digest``; a missing or changed file is a ``StoreError``, never wrong bytes."""
        try:
            data = self.path(digest).read_bytes()
        except OSError as problem:
            raise StoreError(
                f"photo {digest[:12]}: its file is missing or unreadable in {self.folder}. "
                "Restore a backup, or add the photo again."
            ) from problem
        if hashlib.sha256(data).hexdigest() != digest:
            raise StoreError(
                f"photo {digest[:12]}: its file has changed on disk. Restore a backup, or add the photo again."
            )
        return data

    def path(self, digest: str) -> Path:
        """Where a blob lies. Anything but 64 hexadecimal digits is refused before it comes near the disk."""
        if not _DIGEST.fullmatch(str(digest)):
            raise StoreError(f"photo '{digest[:70]}': not a digest of this store. Reload the inspection.")
        return self.folder / digest[:2] / digest[2:4] / digest

    def digests(self) -> tuple[str, ...]:
        """All digests in the folder, sorted."""
        names = (path.name for path in self.folder.glob("??/??/*") if path.is_file())
        return tuple(sorted(name for name in names if _DIGEST.fullmatch(name)))

    def _write(self, target: Path, data: bytes) -> None:
        aside = self.folder / _ASIDE
        aside.mkdir(parents=True, exist_ok=True)
        target.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(dir=aside)
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(data)
                file.flush()
                os.fsync(file.fileno())
            Path(name).replace(target)
        except BaseException:
            Path(name).unlink(missing_ok=True)
            raise
        for folder in (target.parent, target.parent.parent, self.folder):
            sync_folder(folder)
