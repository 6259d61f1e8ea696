"""Hostile photos: every format and mode that a phone or a prankster sends, damaged, and bombs."""

import io
import random
import struct
import zlib
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pillow_heif
from mutate import mutated_bytes
from PIL import Image, ImageCms

from plugsight.photo import read_photo
from plugsight.photo.private import without_metadata


def _saved(picture: Image.Image, form: str, **options: object) -> bytes:
    out = io.BytesIO()
    picture.save(out, form, **options)
    return out.getvalue()


def _chunk(kind: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))


def bomb_png(width: int, height: int, depth: int = 8, colour: int = 2) -> bytes:
    """Build a PNG that claims a size its few bytes unfold to."""
    head = struct.pack(">IIBBBBB", width, height, depth, colour, 0, 0, 0)
    rows = zlib.compress(bytes(2_000_000), 9)
    return b"\x89PNG\r\n\x1a\n" + _chunk(b"IHDR", head) + _chunk(b"IDAT", rows) + _chunk(b"IEND", b"")


def _unfolding(kind: bytes) -> bytes:
    """Build a PNG with a chunk of 60 kB that unfolds to 60 MB."""
    good = _saved(Image.new("RGB", (200, 200)), "PNG")
    return good[:33] + _chunk(kind, b"k\x00\x00" + zlib.compress(bytes(60_000_000), 9)) + good[33:]


def _goods() -> list[bytes]:
    pillow_heif.register_heif_opener()
    colours = np.random.default_rng(3).integers(0, 256, (12, 16, 3), np.uint8)
    rgb = Image.fromarray(colours).resize((192, 144))
    exif = Image.Exif()
    exif.update({0x0112: 6, 0x010F: "Invented", 0x9286: "secret words", 0x8825: {1: "N", 2: (1.0, 2.0, 3.0)}})
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("LAB")).tobytes()
    srgb = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    deep = Image.fromarray((np.arange(144 * 192, dtype=np.uint16) * 2).reshape(144, 192))
    frames = [rgb.rotate(a) for a in (0, 90, 180)]
    return [
        _saved(rgb, "JPEG", quality=90, exif=exif),
        _saved(rgb, "JPEG", progressive=True, icc_profile=srgb, comment=b"hello"),
        _saved(rgb.convert("CMYK"), "JPEG", icc_profile=profile),
        _saved(rgb.convert("L"), "JPEG", exif=exif),
        _saved(rgb, "PNG", exif=exif, icc_profile=profile),
        _saved(rgb.convert("P"), "PNG", transparency=3),
        _saved(rgb.convert("RGBA"), "PNG"),
        _saved(rgb.convert("LA"), "PNG"),
        _saved(rgb.convert("1"), "PNG"),
        _saved(deep, "PNG"),
        _saved(frames[0], "PNG", save_all=True, append_images=frames[1:]),
        _saved(frames[0], "WEBP", save_all=True, append_images=frames[1:], exif=exif),
        _saved(rgb.convert("RGBA"), "WEBP", lossless=True, icc_profile=srgb),
        _saved(rgb, "HEIF", quality=60, exif=exif),
        _saved(rgb.convert("RGBA"), "HEIF", quality=-1),
        _saved(rgb, "HEIF", save_all=True, append_images=frames[1:]),
    ]


GOODS: list[bytes] = []
ODD: tuple[Callable[[], bytes], ...] = (
    lambda: bomb_png(60_000, 60_000),
    lambda: bomb_png(9_999, 9_999),
    lambda: bomb_png(1, 90_000),
    lambda: bomb_png(2**31 - 1, 1),
    lambda: bomb_png(0, 5),
    lambda: bomb_png(20_000, 4_900, depth=16, colour=6),
    lambda: b"",
    lambda: b"\xff\xd8\xff\xd9",
    lambda: b"GIF89a" + bytes(300),
    lambda: b"II*\x00\x08\x00\x00\x00" + b"\xff" * 200,
    lambda: b"%PDF-1.4\n" + bytes(200),
    lambda: b"<svg xmlns='http://www.w3.org/2000/svg'/>",
    lambda: _saved(Image.new("RGB", (1, 5000)), "PNG"),
    lambda: _saved(Image.new("RGB", (200, 200)), "BMP"),
    lambda: _saved(Image.new("RGB", (200, 200)), "JPEG")[:2] * 4000,
    lambda: _unfolding(b"zTXt"),
    lambda: _unfolding(b"iCCP"),
)


def attack(number: int, chance: random.Random, target: Path) -> Callable[[], object]:
    """Read one hostile photo from a file, and clean it where it was read."""
    if not GOODS:
        GOODS.extend(_goods())
    data = ODD[number // 8 % len(ODD)]() if number % 8 == 7 else mutated_bytes(chance.choice(GOODS), chance)
    if number == 0:
        data = GOODS[0]
    name = chance.choice(("photo.jpg", "photo.png", "photo.heic", "photo", "photo.exe"))
    path = target / name
    path.write_bytes(data)

    def read() -> None:
        read_photo(path)
        clean = without_metadata(data)
        read_photo(clean, name)
        for told in (b"secret words", b"Invented", b"hello"):
            if told in clean:
                raise AssertionError(f"metadata kept: {told!r}")

    return read
