"""How an image of a set is named: by its own bytes, so that no name tells anything and duplicates meet."""

import hashlib


def image_name(data: bytes) -> str:
    """Return ``images/<SHA-256>.jpg`` or ``.png`` for an image file."""
    ending = "png" if data.startswith(b"\x89PNG") else "jpg"
    return f"images/{hashlib.sha256(data).hexdigest()}.{ending}"
