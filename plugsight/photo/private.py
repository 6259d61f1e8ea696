"""A photo file without what it tells of place, time, phone and person; its pixels untouched where the format allows."""

import io
import struct
from collections.abc import Iterator

from PIL import Image, ImageOps

PNG_KEPT = {b"IHDR", b"PLTE", b"IDAT", b"IEND", b"tRNS", b"iCCP", b"sRGB", b"gAMA", b"cHRM"}
ORIENTATION = 0x0112


def without_metadata(data: bytes) -> bytes:
    """Return the same picture with only size, colour profile and orientation left beside its pixels.

    JPEG and PNG keep their pixel data bit for bit; other formats, and the rare turned PNG, come back upright, as JPEG
    of quality 95. ``data`` is a file that ``read_photo`` has accepted.
    """
    turn = _orientation(data)
    if data.startswith(b"\xff\xd8"):
        return b"\xff\xd8" + _orientation_segment(turn) + b"".join(_jpeg_segments(data))
    if data.startswith(b"\x89PNG\r\n\x1a\n") and turn == 1:
        return data[:8] + b"".join(_png_chunks(data))
    with Image.open(io.BytesIO(data)) as picture:
        upright = ImageOps.exif_transpose(picture).convert("RGB")
        out = io.BytesIO()
        upright.save(out, "JPEG", quality=95, icc_profile=picture.info.get("icc_profile"))
    return out.getvalue()


def _jpeg_segments(data: bytes) -> Iterator[bytes]:
    """Yield the kept segments from after SOI to the first EOI; what a phone hangs on behind it is left out."""
    at = 2
    while at + 4 <= len(data) and data[at] == 0xFF:
        marker = data[at + 1]
        if marker == 0xFF:  # a fill byte before the marker
            at += 1
            continue
        size = struct.unpack(">H", data[at + 2 : at + 4])[0]
        if marker == 0xDA:  # the scan: coded data escapes 0xFF, so the first FFD9 is the end of the image
            end = data.find(b"\xff\xd9", at)
            yield data[at : end + 2 if end >= 0 else len(data)]
            return
        segment = data[at : at + 2 + size]
        app = 0xE0 <= marker <= 0xEF
        profile = marker == 0xE2 and segment[4:15] == b"ICC_PROFILE"
        if not (app or marker == 0xFE) or profile or marker in (0xE0, 0xEE):
            yield segment
        at += 2 + size


def _orientation(data: bytes) -> int:
    """Exif orientation 1 to 8; 1 (upright) where it is missing or nonsense."""
    with Image.open(io.BytesIO(data)) as picture:
        turn = picture.getexif().get(ORIENTATION, 1)
    return turn if turn in range(1, 9) else 1


def _orientation_segment(turn: int) -> bytes:
    """Return an Exif segment (Exif 2.32, IFD0 with one entry) that holds the orientation alone; nothing if upright."""
    if turn == 1:
        return b""
    tiff = b"MM\x00*" + struct.pack(">IHHHIHHI", 8, 1, ORIENTATION, 3, 1, turn, 0, 0)
    return b"\xff\xe1" + struct.pack(">H", 2 + 6 + len(tiff)) + b"Exif\x00\x00" + tiff


def _png_chunks(data: bytes) -> Iterator[bytes]:
    at = 8
    while at + 8 <= len(data):
        size = struct.unpack(">I", data[at : at + 4])[0]
        if data[at + 4 : at + 8] in PNG_KEPT:
            yield data[at : at + 12 + size]
        at += 12 + size
