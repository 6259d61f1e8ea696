"""Which photos are meant: folders are searched, a listing names one path a line, anything else is a photo."""

from collections.abc import Iterable, Iterator
from pathlib import Path

from plugsight.vocabulary.errors import InputError

PHOTOS = frozenset({".jpg", ".jpeg", ".png", ".webp", ".heic", ".heif"})
LISTINGS = frozenset({".txt", ".lst"})


def find_photos(sources: Iterable[Path]) -> tuple[Path, ...]:
    """Return the photos in ``sources``, each once, in the order named; those of a folder by name, its folders included.

    Raises
    ------
    InputError
        Where a source does not exist, or no photo is found. A listed photo that does not exist is no error here: it
        gets a line that says so.

    """
    found = tuple(dict.fromkeys(path for source in sources for path in _photos(source)))
    if not found:
        raise InputError(
            "photos", f"none found ({', '.join(sorted(PHOTOS))})", "Name a folder that holds photos."
        )
    return found


def _photos(source: Path) -> Iterator[Path]:
    if source.is_dir():
        yield from sorted(p for p in source.rglob("*") if p.suffix.lower() in PHOTOS and p.is_file())
    elif not source.exists():
        raise InputError(str(source), "there is no such file or folder", "Check its name.")
    elif source.suffix.lower() in LISTINGS:
        lines = source.read_text("utf-8", errors="replace").splitlines()
        yield from (source.parent / line.strip() for line in lines if line.strip())
    else:
        yield source
