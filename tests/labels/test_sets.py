"""A labelled set goes out and comes back; a hostile or wrong one is refused whole."""

import hashlib
import io
import json
import zipfile
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from plugsight.labels import (
    FORMAT,
    Grade,
    LabelledPhoto,
    LabelledPlug,
    LabelledSet,
    SetPicture,
    read_set,
    write_set,
)
from plugsight.labels.name import image_name
from plugsight.vocabulary.errors import InputError


def picture(seed: int) -> SetPicture:
    rng, out = np.random.default_rng(seed), io.BytesIO()
    Image.fromarray(rng.integers(0, 255, (80, 70, 3), np.uint8)).save(out, "JPEG")
    labels = np.zeros((80, 70), np.uint8)
    labels[10:40, 10:30] = 1
    labels[20:30, 15:25] = 2
    return SetPicture(out.getvalue(), labels, (80, 70))


def plug(number: int, shot: SetPicture, deposit: str = "dry carbon") -> LabelledPlug:
    digest = hashlib.sha256(shot.data).hexdigest()
    photo = LabelledPhoto(image_name(shot.data), digest, "side", cleaned=False, values=(1.5, None))
    return LabelledPlug(
        plug=f"p{number}", engine="e", cylinder=number, position="", deposits=(deposit,), damage=(), absent=(),
        damage_absent=(), grade=Grade.EYE, blind=False, suggested=("light",), model_digest="", decided="2026-03-04",
        photos=(photo,),
    )  # fmt: skip


@pytest.fixture
def made() -> tuple[LabelledSet, dict[str, SetPicture]]:
    shots = [picture(1), picture(2)]
    plugs = tuple(plug(n, s) for n, s in enumerate(shots, 1))
    whole = LabelledSet(
        FORMAT,
        "2026-03-04T12:00:00+00:00",
        "test",
        "CC0",
        "given",
        "c",
        ("a", "b"),
        invented=True,
        plugs=plugs,
    )
    return whole, {image_name(s.data): s for s in shots}


@pytest.mark.parametrize("name", ["set", "set.zip"])
def test_it_comes_back_as_written(made: tuple, tmp_path: Path, name: str) -> None:
    labelled, pictures = made
    back = read_set(write_set(labelled, pictures, tmp_path / name))
    assert back.labelled == labelled
    assert back.images == {n: p.data for n, p in pictures.items()}
    assert back.duplicates == 0
    assert [p.name for p in tmp_path.iterdir()] == [name]


def test_known_photos_are_duplicates(made: tuple, tmp_path: Path) -> None:
    labelled, pictures = made
    path = write_set(labelled, pictures, tmp_path / "set.zip")
    back = read_set(path, known={labelled.plugs[0].photos[0].digest})
    assert [p.plug for p in back.labelled.plugs] == ["p2"]
    assert back.duplicates == 1


def test_part_masks_follow_coco(made: tuple, tmp_path: Path) -> None:
    labelled, pictures = made
    coco = json.loads((write_set(labelled, pictures, tmp_path / "set") / "parts.coco.json").read_text())
    shell = coco["annotations"][0]
    assert shell["bbox"] == [10, 10, 20, 30]
    # 20 x 30 rectangle less the 10 x 10 nose inside it
    assert shell["area"] == 500
    assert sum(shell["segmentation"]["counts"]) == 80 * 70
    assert sum(shell["segmentation"]["counts"][1::2]) == 500


def test_an_existing_name_is_not_overwritten(made: tuple, tmp_path: Path) -> None:
    (tmp_path / "set.zip").write_bytes(b"mine")
    with pytest.raises(InputError, match="exists already"):
        write_set(*made, tmp_path / "set.zip")
    assert (tmp_path / "set.zip").read_bytes() == b"mine"


def hostile(change: Callable[[zipfile.ZipFile, dict], None], made: tuple, folder: Path) -> Path:
    write_set(*made, folder / "good.zip")
    with zipfile.ZipFile(folder / "good.zip") as good:
        files = {n: good.read(n) for n in good.namelist()}
    with zipfile.ZipFile(folder / "bad.zip", "w", zipfile.ZIP_DEFLATED) as bad:
        change(bad, files)
        for name, data in files.items():
            bad.writestr(name, data)
    return folder / "bad.zip"


def climbing(bad: zipfile.ZipFile, _: dict) -> None:
    bad.writestr("../../outside.jpg", b"x")


def absolute(bad: zipfile.ZipFile, _: dict) -> None:
    bad.writestr("/outside.jpg", b"x")


def link(bad: zipfile.ZipFile, files: dict) -> None:
    name = next(n for n in files if n.startswith("images/"))
    entry = zipfile.ZipInfo(name)
    entry.external_attr = 0o120777 << 16
    bad.writestr(entry, b"/etc/passwd")
    del files[name]


def bomb(_: zipfile.ZipFile, files: dict) -> None:
    name = next(n for n in files if n.startswith("images/"))
    files[name] = b"\0" * (61 * 2**20)


def swapped(_: zipfile.ZipFile, files: dict) -> None:
    first, second = (n for n in files if n.startswith("images/"))
    files[first] = files[second]


def cut(_: zipfile.ZipFile, files: dict) -> None:
    files["set.json"] = files["set.json"][:200]


def newer(_: zipfile.ZipFile, files: dict) -> None:
    files["set.json"] = files["set.json"].replace(b'"format": 1', b'"format": 99')


def nested(_: zipfile.ZipFile, files: dict) -> None:
    files["set.json"] = b"[" * 100_000


def wrong_type(_: zipfile.ZipFile, files: dict) -> None:
    files["set.json"] = files["set.json"].replace(b'"cylinder": 1', b'"cylinder": "one"')


def unknown_word(_: zipfile.ZipFile, files: dict) -> None:
    files["set.json"] = files["set.json"].replace(b'"dry carbon"', b'"black stuff"')


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (climbing, "a file that no set has"),
        (absolute, "a file that no set has"),
        (link, "no links"),
        (bomb, "at most 60 MB"),
        (swapped, r"row \d: .* does not match its digest"),
        (cut, "no readable JSON"),
        (newer, "format is not 1"),
        (nested, "no readable JSON"),
        (wrong_type, "cylinder"),
        (unknown_word, "row 1: unknown deposit 'black stuff'"),
    ],
)
def test_hostile_sets_are_refused(change: Callable, words: str, made: tuple, tmp_path: Path) -> None:
    with pytest.raises(InputError, match=words):
        read_set(hostile(change, made, tmp_path))
    assert {p.name for p in tmp_path.iterdir()} == {"good.zip", "bad.zip"}


def test_photos_are_read_one_at_a_time(made: tuple, tmp_path: Path) -> None:
    back = read_set(write_set(*made, tmp_path / "set.zip"))
    name = next(iter(back.images))
    assert back.images[name] is not back.images[name]  # nothing is held: a set may be larger than the memory


def test_a_broken_stream_in_a_whole_zip_is_refused(made: tuple, tmp_path: Path) -> None:
    write_set(*made, tmp_path / "set.zip")
    with zipfile.ZipFile(tmp_path / "set.zip") as good:
        at = good.getinfo("set.json").header_offset + 30 + len("set.json")
    raw = bytearray((tmp_path / "set.zip").read_bytes())
    raw[at : at + 40] = b"\xff" * 40
    (tmp_path / "set.zip").write_bytes(raw)
    with pytest.raises(InputError, match="no readable zip"):
        read_set(tmp_path / "set.zip")


def test_masks_larger_than_any_photo_are_refused_before_they_are_drawn(made: tuple, tmp_path: Path) -> None:
    def huge(_: zipfile.ZipFile, files: dict) -> None:
        body = json.loads(files["parts.coco.json"])
        body["images"][0] |= {"height": 20_000, "width": 20_000}
        files["parts.coco.json"] = json.dumps(body).encode()

    with pytest.raises(InputError, match="an image of 20000 x 20000 pixels"):
        read_set(hostile(huge, made, tmp_path))


def test_no_zip_is_refused(tmp_path: Path) -> None:
    (tmp_path / "x.zip").write_bytes(b"PK nothing")
    with pytest.raises(InputError, match="no readable zip"):
        read_set(tmp_path / "x.zip")


def test_an_empty_set_is_refused(made: tuple, tmp_path: Path) -> None:
    with pytest.raises(InputError, match="no confirmed plug"):
        write_set(replace(made[0], plugs=()), {}, tmp_path / "set")
