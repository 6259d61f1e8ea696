"""A photo's file to its bytes, looked at before it is read."""

from pathlib import Path

from plugsight.photo.limits import MAX_BYTES
from plugsight.vocabulary.errors import InputError


def photo_file(path: Path, name: str = "") -> bytes:
    """Return the bytes of a photo's file; ``name`` is what messages call it (default: the file's name).

    Raises
    ------
    InputError
        Where it is missing or unreadable, no plain file (a pipe would be waited for without end), or larger than any
        photo.

    """
    called = name or path.name
    try:
        if path.exists() and not path.is_file():
            raise InputError(called, "this is no photo but a folder or a device", "Name the photo's file.")
        if path.stat().st_size > MAX_BYTES:
            raise InputError(called, f"a photo has at most {MAX_BYTES >> 20} MB", "Send a smaller copy.")
        return path.read_bytes()
    except OSError as error:
        raise InputError(
            called, "the file can't be read", "Check the path and its rights", error.strerror
        ) from None
