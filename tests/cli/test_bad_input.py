"""Unusable input: one line with place, rule and remedy, exit code 2, and nothing half-written."""

import io
import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image
from typer.testing import Result

from plugsight.photo.limits import MAX_PIXELS
from plugsight.store import Store

Run = Callable[..., Result]
Write = Callable[..., Path]


def _png(size: tuple[int, int]) -> bytes:
    made = io.BytesIO()
    Image.new("1", size).save(made, "PNG")
    return made.getvalue()


def _bad_photo(kind: str, good: bytes) -> bytes:
    return {
        "not an image": b"this is a letter, not a picture " * 20,
        "truncated": good[: len(good) // 2],
        "zero bytes": b"",
        "1x1": _png((1, 1)),
        "over the pixel limit": _png((20_000, MAX_PIXELS // 20_000 + 1)),
    }[kind]


KINDS = ("not an image", "truncated", "zero bytes", "1x1", "over the pixel limit")


@pytest.mark.parametrize("kind", KINDS)
def test_unusable_photo_is_told_before_anything_is_saved(
    run: Run, write: Write, photos: Path, tmp_path: Path, kind: str
) -> None:
    bad = tmp_path / "bad.jpg"
    bad.write_bytes(_bad_photo(kind, (photos / "1_side.jpg").read_bytes()))
    file = write(
        f'[[plugs]]\ncylinder = 1\nphotos = ["{photos / "1_side.jpg"}"]\n[[plugs]]\ncylinder = 2\nphotos = ["bad.jpg"]\n'
    )
    _refused(run("engine", file, "--no-ask"), "plug 2, bad.jpg: ")
    _refused(run("look", bad), "bad.jpg: ")
    _nothing_written(tmp_path)


@pytest.mark.parametrize(
    ("rest", "said"),
    [
        (
            "[[plugs]]\ncylinder = 3\n",
            "plug 3: this engine has cylinders 1 to 2 (seen: 3). Correct the number",
        ),
        (
            "[[plugs]]\ncylinder = 1\n[[plugs]]\ncylinder = 1\n",
            "plug 1: this plug stands in the file more than once",
        ),
        ('[[plugs]]\ncylinder = 1\ngap = "5 kOhm"\n', "plug 1, gap"),
        ('[[plugs]]\ncylinder = 1\nresistance = "0.8 mm"\n', "plug 1, resistance"),
        (
            '[[plugs]]\ncylinder = 1\n[plugs.decision]\ndeposits = ["wet oyl"]\n',
            "unknown deposit (seen: wet oyl). Did you mean 'wet oil'?",
        ),
        ('[[plugs]]\ncylinder = 1\nphotos = ["gone.jpg"]\n', "there is no such file"),
    ],
)
def test_unusable_engine_file_is_told_before_anything_is_saved(
    run: Run, write: Write, tmp_path: Path, rest: str, said: str
) -> None:
    _refused(run("engine", write(rest), "--no-ask"), said)
    _nothing_written(tmp_path)


def test_same_photo_at_two_plugs_is_told(run: Run, write: Write, photos: Path, tmp_path: Path) -> None:
    one = photos / "1_side.jpg"
    file = write(
        f'[[plugs]]\ncylinder = 1\nphotos = ["{one}"]\n[[plugs]]\ncylinder = 2\nphotos = ["{one}"]\n'
    )
    _refused(run("engine", file, "--no-ask"), "this photo already stands at plug 1")
    _nothing_written(tmp_path)


def test_store_from_a_newer_version_is_told(run: Run, write: Write, tmp_path: Path) -> None:
    with Store.open(tmp_path / "store") as store:
        database = store.location.database
    raw = sqlite3.connect(str(database))
    raw.execute("UPDATE alembic_version SET version_num = '9999'")
    raw.commit()
    raw.close()
    for arguments in (["list"], ["engine", write(""), "--no-ask"]):
        _refused(run(*arguments), "made by a newer plugsight")


@pytest.mark.parametrize(
    "arguments",
    [
        ["show", "nosuch"],
        ["report", "nosuch"],
        ["decide", "nosuch"],
        ["reading", "nosuch", "1", "--gap", "1 mm"],
        ["check", "nosuch", "a", "b"],
        ["repair", "nosuch", "rings"],
    ],
)
def test_unknown_inspection_says_how_to_list_them(run: Run, arguments: list[str]) -> None:
    _refused(run(*arguments), "there is none with this id here. List them with 'plugsight list'")


def test_missing_photo_and_wrong_words_on_the_command_line(run: Run, photos: Path) -> None:
    _refused(run("look", "none.jpg"), "none.jpg: the file can't be read")
    _refused(
        run("look", photos / "1_side.jpg", "--gap", "5 kOhm"),
        "command line, gap: a gap is a length in mm or inches",
    )
    _refused(run("look", photos / "1_side.jpg", "--thread", "M14"), "unknown thread size (seen: M14)")


def _refused(result: Result, said: str) -> None:
    assert result.exit_code == 2, result.output
    assert said in result.output
    assert len(result.output.strip().splitlines()) == 1, result.output


def _nothing_written(tmp_path: Path) -> None:
    assert not (tmp_path / "store").exists()
    assert not list(tmp_path.glob("*report*"))
