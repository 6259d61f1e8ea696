"""Adopted sets are kept whole, once, and only when nothing is wrong with them."""

import hashlib
import io
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
    keep_set,
    kept_sets,
    labels_home,
    read_set,
    write_set,
)
from plugsight.labels.name import image_name
from plugsight.vocabulary.errors import InputError


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("PLUGSIGHT_LABELS", str(tmp_path / "kept"))
    return tmp_path / "kept"


@pytest.fixture
def exported(tmp_path: Path) -> Path:
    rng, out = np.random.default_rng(1), io.BytesIO()
    Image.fromarray(rng.integers(0, 255, (80, 70, 3), np.uint8)).save(out, "JPEG")
    data = out.getvalue()
    labels = np.zeros((80, 70), np.uint8)
    labels[10:40, 10:30] = 1
    labels[15:20, 15:25] = 2
    photo = LabelledPhoto(
        image_name(data), hashlib.sha256(data).hexdigest(), "side", cleaned=False, values=(1.5,)
    )
    plug = LabelledPlug(
        plug="p", engine="e", cylinder=1, position="", deposits=("ash",), damage=(), absent=(), damage_absent=(),
        grade=Grade.EYE, blind=True, suggested=(), model_digest="", decided="2026-03-04", photos=(photo,),
    )  # fmt: skip
    whole = LabelledSet(
        FORMAT, "2026-03-04", "test", "CC0", "given", "c", ("a",), invented=True, plugs=(plug,)
    )
    return write_set(whole, {photo.file: SetPicture(data, labels, (80, 70))}, tmp_path / "set.zip")


def test_nothing_is_kept_before_the_first_set() -> None:
    assert kept_sets() == ()


def test_a_kept_set_comes_back_whole_with_its_masks(exported: Path, home: Path) -> None:
    made = keep_set(exported)
    assert made.duplicates == 0
    assert labels_home() == home
    assert [p.deposits for one in kept_sets() for p in one.plugs] == [("ash",)]
    (folder,) = home.iterdir()
    before, after = read_set(exported), read_set(folder)
    name = next(iter(before.masks))
    np.testing.assert_array_equal(before.masks[name], after.masks[name])
    assert (before.masks[name] == 2).sum() == 50


def test_the_same_photos_are_kept_once(exported: Path, home: Path) -> None:
    keep_set(exported)
    again = keep_set(exported)
    assert again.duplicates == 1
    assert len(list(home.iterdir())) == 1


def test_a_faulty_set_leaves_nothing_behind(exported: Path, home: Path) -> None:
    exported.write_bytes(exported.read_bytes()[:-200])
    with pytest.raises(InputError, match="Nothing was imported"):
        keep_set(exported)
    assert not home.exists()


def test_a_kept_set_that_was_damaged_since_is_named(exported: Path, home: Path) -> None:
    keep_set(exported)
    (folder,) = home.iterdir()
    (folder / "set.json").unlink()
    with pytest.raises(InputError, match=f"{folder.name}.*can't be read"):
        kept_sets()


@pytest.mark.parametrize(
    "change",
    [
        (b'"counts": [', b'"counts": [-5, '),
        (b'"category_id": 2', b'"category_id": 77'),
        (b'"height": 80', b'"height": 1e9'),
    ],
    ids=["run lengths", "part", "size"],
)
def test_masks_that_do_not_fit_are_refused(
    change: tuple[bytes, bytes], exported: Path, tmp_path: Path
) -> None:
    import zipfile

    with zipfile.ZipFile(exported) as good, zipfile.ZipFile(tmp_path / "bad.zip", "w") as bad:
        for name in good.namelist():
            data = good.read(name)
            changed = data.replace(*change, 1) if name == "parts.coco.json" else data
            bad.writestr(name, changed)
    with pytest.raises(InputError, match="part masks can't be used"):
        read_set(tmp_path / "bad.zip")
