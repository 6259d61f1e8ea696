"""Metadata goes, pixels and orientation stay."""

import io

import numpy as np
import pytest
from PIL import Image, ImageOps
from PIL.PngImagePlugin import PngInfo

from plugsight.photo.private import without_metadata

SECRET = b"SERIAL-4711"


def picture() -> Image.Image:
    rng = np.random.default_rng(3)
    return Image.fromarray(rng.integers(0, 255, (40, 60, 3), np.uint8))


def pixels(data: bytes) -> np.ndarray:
    with Image.open(io.BytesIO(data)) as opened:
        return np.asarray(ImageOps.exif_transpose(opened).convert("RGB"))


def jpeg(turn: int) -> bytes:
    exif = Image.Exif()
    exif[0x0112], exif[0x010F], exif[0xA431] = turn, "maker", SECRET.decode()
    exif.get_ifd(0x8825)[1] = "N"
    out = io.BytesIO()
    picture().save(out, "JPEG", exif=exif, comment=SECRET)
    return out.getvalue() + b"MotionPhoto" + SECRET


@pytest.mark.parametrize("turn", [1, 3, 6, 8])
def test_jpeg_keeps_pixels_and_orientation_and_nothing_else(turn: int) -> None:
    given = jpeg(turn)
    assert SECRET in given
    kept = without_metadata(given)
    assert SECRET not in kept
    with Image.open(io.BytesIO(kept)) as opened:
        assert set(opened.getexif()) <= {0x0112}
    np.testing.assert_array_equal(pixels(kept), pixels(given))


def test_png_keeps_pixels_and_loses_its_texts() -> None:
    info, out = PngInfo(), io.BytesIO()
    info.add_text("Serial", SECRET.decode())
    picture().save(out, "PNG", pnginfo=info)
    kept = without_metadata(out.getvalue())
    assert SECRET in out.getvalue()
    assert SECRET not in kept
    np.testing.assert_array_equal(pixels(kept), pixels(out.getvalue()))


def test_webp_comes_back_upright_without_metadata() -> None:
    exif, out = Image.Exif(), io.BytesIO()
    exif[0x0112], exif[0xA431] = 6, SECRET.decode()
    picture().save(out, "WEBP", exif=exif, lossless=True)
    kept = without_metadata(out.getvalue())
    assert SECRET not in kept
    assert pixels(kept).shape == pixels(out.getvalue()).shape == (60, 40, 3)


def test_cleaning_twice_changes_nothing() -> None:
    once = without_metadata(jpeg(6))
    assert without_metadata(once) == once


def test_a_turned_png_comes_back_upright() -> None:
    exif, out = Image.Exif(), io.BytesIO()
    exif[0x0112] = 6
    picture().save(out, "PNG", exif=exif)
    assert pixels(without_metadata(out.getvalue())).shape == (60, 40, 3)
