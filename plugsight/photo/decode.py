"""One picture's bytes to upright pixels, checked before anything large is decoded."""

import io
import threading
import warnings

import cv2
import numpy as np
import pillow_heif
from numpy.typing import NDArray
from PIL import Image, ImageOps, UnidentifiedImageError

from plugsight.photo.limits import FORMATS, MAX_PIXELS, MIN_SIDE
from plugsight.photo.profile import is_srgb, to_srgb
from plugsight.vocabulary.errors import InputError

_REMEDY = "Take the photo again, or export it as JPEG or PNG"
_HEIF = threading.Lock()
_KNOWN = {"heif": False}


def _know_heif() -> None:
    """Teach Pillow the phones' HEIC format, once."""
    with _HEIF:
        if not _KNOWN["heif"]:
            pillow_heif.register_heif_opener()
            _KNOWN["heif"] = True


def decode_picture(data: bytes, where: str) -> NDArray[np.uint8]:
    """Return ``(rows, cols, 3)`` uint8 sRGB, turned upright by its EXIF tag, metadata left behind.

    ``data`` is a JPEG, PNG, WebP or HEIC file's content, whatever the file's name says; ``where`` names it in
    messages. Transparent pictures are laid on white. Raises ``InputError`` where it is empty, not a picture, of
    another format, over ``MAX_PIXELS`` (checked before decoding), smaller than ``MIN_SIDE`` or cut short.
    """
    if not data:
        raise InputError(where, "the file is empty", _REMEDY, "0 bytes")
    _know_heif()
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)
            picture = Image.open(io.BytesIO(data), formats=FORMATS)
    except Image.DecompressionBombError:
        raise InputError(
            where, f"more than {MAX_PIXELS // 10**6} megapixels", "Send a smaller copy"
        ) from None
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError):
        raise InputError(
            where, "not a readable picture (JPEG, PNG, WebP or HEIC)", _REMEDY, f"{len(data)} bytes"
        ) from None
    with picture:
        width, height = picture.size
        if width * height > MAX_PIXELS:
            raise InputError(
                where,
                f"more than {MAX_PIXELS // 10**6} megapixels",
                "Send a smaller copy",
                f"{width} x {height}",
            )
        if min(width, height) < MIN_SIDE:
            raise InputError(
                where,
                f"smaller than {MIN_SIDE} pixels a side",
                "Send the original photo",
                f"{width} x {height}",
            )
        if _plain_jpeg(picture, data):
            quick = cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_COLOR_RGB)
            if quick is not None:
                return np.asarray(quick, dtype=np.uint8)
        return _pixels(picture, where)


def _plain_jpeg(picture: Image.Image, data: bytes) -> bool:
    """Whether OpenCV may decode it, three times as fast as Pillow: a JPEG with its end marker, grey or RGB, in sRGB.

    OpenCV turns it upright by the same EXIF tag. A JPEG without its end marker goes through Pillow, which notices what
    is missing.
    """
    whole = data[-64:].rstrip(b"\x00").endswith(b"\xff\xd9")
    return picture.format == "JPEG" and picture.mode in ("RGB", "L") and whole and is_srgb(picture)


def _pixels(picture: Image.Image, where: str) -> NDArray[np.uint8]:
    try:
        picture.load()
        upright = ImageOps.exif_transpose(picture)
    except (OSError, ValueError, SyntaxError, EOFError, RuntimeError) as error:
        raise InputError(where, "the picture is cut short or damaged", _REMEDY, str(error)[:60]) from None
    flat = to_srgb(upright)
    return np.array(flat, dtype=np.uint8)
