"""Photo files named on the command line."""

from pathlib import Path

from plugsight.vocabulary.errors import InputError


def photo_bytes(path: Path) -> bytes:
    """Return a file's bytes; one that can't be read is an ``InputError`` that says so."""
    try:
        return path.read_bytes()
    except OSError as problem:
        raise InputError(
            str(path), f"the file can't be read ({problem.strerror})", "Check its name and folder."
        ) from problem
