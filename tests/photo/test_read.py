"""Any phone picture in, one upright sRGB photo out; bad input in one line."""

import hashlib
import io
import os
import struct
import zlib
from pathlib import Path

import numpy as np
import pillow_heif
import pytest
from PIL import Image, ImageCms

from plugsight.photo import Photo, read_photo
from plugsight.photo.limits import MAX_PIXELS
from plugsight.vocabulary.errors import InputError


def _picture(rows: int = 96, cols: int = 160) -> np.ndarray:
    """Upper left quarter red, the rest a soft ramp: smooth, so that JPEG keeps it within a few codes."""
    ramp = np.linspace(40, 200, cols, dtype=np.float64)[None, :, None] * np.ones((rows, 1, 3))
    ramp[: rows // 2, : cols // 2] = (200, 40, 40)
    return ramp.astype(np.uint8)


def _file(pixels: np.ndarray, fmt: str, **options: object) -> bytes:
    out = io.BytesIO()
    Image.fromarray(pixels).save(out, fmt, **options)
    return out.getvalue()


@pytest.mark.parametrize("fmt", ["JPEG", "PNG", "WEBP", "HEIF"])
def test_each_format_gives_the_same_picture(fmt: str) -> None:
    pillow_heif.register_heif_opener()
    pixels = _picture()
    photo = read_photo(_file(pixels, fmt, quality=95), "a")
    assert photo.pixels.shape == pixels.shape
    assert photo.pixels.dtype == np.uint8
    away_from_edges = np.abs(photo.pixels[60:, 100:].astype(int) - pixels[60:, 100:].astype(int))
    assert away_from_edges.max() <= 6


def test_the_digest_is_that_of_the_bytes_and_the_name_has_no_folder(tmp_path: Path) -> None:
    data = _file(_picture(), "PNG")
    path = tmp_path / "plug1.png"
    path.write_bytes(data)
    photo = read_photo(path)
    assert photo.name == "plug1.png"
    assert photo.digest == hashlib.sha256(data).hexdigest()


@pytest.mark.parametrize("turn", range(1, 9))
def test_all_eight_exif_turns_come_out_upright(turn: int) -> None:
    pixels = _picture()
    # EXIF 2.3, tag 0x0112: what must be undone to show the picture upright.
    stored = {
        1: pixels,
        2: pixels[:, ::-1],
        3: pixels[::-1, ::-1],
        4: pixels[::-1],
        5: pixels.transpose(1, 0, 2),
        6: np.rot90(pixels, 1),
        7: np.rot90(pixels.transpose(1, 0, 2), 2),
        8: np.rot90(pixels, -1),
    }[turn]
    exif = Image.Exif()
    exif[0x0112] = turn
    photo = read_photo(_file(np.ascontiguousarray(stored), "PNG", exif=exif.tobytes()), "a")
    np.testing.assert_array_equal(photo.pixels, pixels)


def test_an_embedded_profile_is_applied() -> None:
    pixels = np.full((80, 80, 3), 128, np.uint8)
    # A profile that swaps nothing but white point and curve: LittleCMS' own Lab is too far, so an XYZ-built one is used.
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    plain = read_photo(_file(pixels, "PNG"), "a").pixels
    same = read_photo(_file(pixels, "PNG", icc_profile=profile), "a").pixels
    np.testing.assert_array_equal(plain, same)
    linear = _gamma_one_profile(profile)
    # IEC 61966-2-1: linear 128/255 = 0.50196 is code 187.9.
    turned = read_photo(_file(pixels, "PNG", icc_profile=linear), "a").pixels
    assert np.abs(turned.astype(int) - 188).max() <= 1


def _gamma_one_profile(profile: bytes) -> bytes:
    """Return the sRGB profile with its curves replaced by the straight line (ICC.1: curv with count 0) and another name."""
    data = bytearray(profile)
    count = struct.unpack(">I", data[128:132])[0]
    straight = len(data)
    data += b"curv" + bytes(8)
    for k in range(count):
        at = 132 + 12 * k
        tag = bytes(data[at : at + 4])
        if tag in (b"rTRC", b"gTRC", b"bTRC"):
            data[at + 4 : at + 12] = struct.pack(">II", straight, 12)
        if tag == b"desc":
            where, size = struct.unpack(">II", data[at + 4 : at + 12])
            text = data[where : where + size]
            for old in ("sRGB".encode("utf-16-be"), b"sRGB"):
                text = text.replace(old, old.lower().replace(b"s", b"x"))
            data[where : where + size] = text
    data[0:4] = struct.pack(">I", len(data))
    return bytes(data)


def test_transparent_pictures_lie_on_white_and_grey_ones_become_three_channels() -> None:
    clear = np.zeros((80, 80, 4), np.uint8)
    out = io.BytesIO()
    Image.fromarray(clear).save(out, "PNG")
    assert read_photo(out.getvalue(), "a").pixels.min() == 255
    grey = np.full((80, 80), 77, np.uint8)
    np.testing.assert_array_equal(read_photo(_file(grey, "PNG"), "a").pixels, np.full((80, 80, 3), 77))


def test_a_wrong_ending_does_not_matter(tmp_path: Path) -> None:
    path = tmp_path / "photo.png"
    path.write_bytes(_file(_picture(), "JPEG"))
    assert isinstance(read_photo(path), Photo)


def _huge_png() -> bytes:
    """Only the header of a PNG over the limit: reading it must not get as far as its pixels."""
    side = int(MAX_PIXELS**0.5) + 1000
    header = struct.pack(">IIBBBBB", side, side, 8, 2, 0, 0, 0)
    chunk = b"IHDR" + header
    return (
        b"\x89PNG\r\n\x1a\n"
        + struct.pack(">I", 13)
        + chunk
        + struct.pack(">I", zlib.crc32(chunk))
        + struct.pack(">I", 0)
        + b"IDAT"
        + struct.pack(">I", zlib.crc32(b"IDAT"))
    )


@pytest.mark.parametrize(
    ("data", "rule"),
    [
        (b"", "empty"),
        (b"this is no picture" * 50, "not a readable picture"),
        (_file(_picture(), "JPEG")[:900], "cut short"),
        (_file(_picture(), "PNG")[:300], "cut short"),
        (_file(_picture(1, 1), "PNG"), "smaller than"),
        (_huge_png(), "megapixels"),
        (_file(_picture(), "GIF"), "not a readable picture"),
    ],
    ids=["zero bytes", "text", "cut jpeg", "cut png", "1x1", "over the limit", "other format"],
)
def test_bad_input_is_one_line_with_place_rule_and_remedy(data: bytes, rule: str) -> None:
    with pytest.raises(InputError) as caught:
        read_photo(data, "plug 3")
    message = str(caught.value)
    assert message.startswith("plug 3: ")
    assert rule in message
    assert "\n" not in message
    assert caught.value.remedy


def test_a_missing_file_is_named(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"gone\.jpg"):
        read_photo(tmp_path / "gone.jpg")


def test_a_file_larger_than_any_photo_and_a_pipe_are_not_read(tmp_path: Path) -> None:
    with (tmp_path / "huge.jpg").open("wb") as file:
        file.truncate(300 * 2**20)  # a sparse file: nothing is written
    os.mkfifo(tmp_path / "pipe.jpg")
    for name, rule in (("huge.jpg", "at most 200 MB"), ("pipe.jpg", "no photo but"), ("", "no photo but")):
        with pytest.raises(InputError, match=rule):
            read_photo(tmp_path / name)
