"""The room's verb: a file or its bytes to a ``Photo``."""

import hashlib
from pathlib import Path

from plugsight.photo.decode import decode_picture
from plugsight.photo.file import photo_file
from plugsight.photo.record import Photo


def read_photo(source: Path | bytes, name: str = "") -> Photo:
    """Read a JPEG, PNG, WebP or HEIC picture: upright, sRGB, metadata dropped.

    ``name`` is what messages and records call it; it defaults to the file's name without its folder. Raises
    ``InputError`` with one line for a file that is missing, empty, no picture, cut short, too small or too large.
    """
    if isinstance(source, Path):
        called, data = name or source.name, photo_file(source, name)
    else:
        called, data = name or "photo", source
    pixels = decode_picture(data, called)
    return Photo(name=called, digest=hashlib.sha256(data).hexdigest(), pixels=pixels)
