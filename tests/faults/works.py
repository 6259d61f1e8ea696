"""What a process is doing when it is killed, and what must be true afterwards."""

import hashlib
import io
import json
import os
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from PIL import Image
from sklearn.linear_model import LogisticRegression

from plugsight.features.catalogue import catalogue_digest
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
from plugsight.store import Store, back_up, restore, verify
from plugsight.suggestion import active
from plugsight.suggestion.chances import KINDS
from plugsight.suggestion.model import DepositModel, Novelty
from plugsight.suggestion.model_file import libraries, load_model, save_model
from plugsight.vocabulary.deposits import Deposit
from plugsight.vocabulary.errors import PlugsightError

Say = Callable[[str], None]
"""Acknowledges one thing that was done: from here on it must never be lost."""


@dataclass(frozen=True)
class Work:
    """``prepare`` once, ``do`` for ever in a process that is killed, ``check`` what it acknowledged; all in ``folder``."""

    prepare: Callable[[Path], None]
    do: Callable[[Path, int, Say], None]
    check: Callable[[Path, int, list[str]], None]


def must(*, be: bool, words: str) -> None:
    """Raise where something that must be isn't."""
    if not be:
        raise AssertionError(words)


# ------------------------------------------------------------------------------------------------------------- saving
def save(folder: Path, turn: int, say: Say) -> None:
    """Add photos and entries to an inspection of its own."""
    with Store.open(folder / "store") as store:
        inspection = store.new_inspection(f"Invented engine {turn}", "{}", invented=True).id
        number = 0
        while True:
            number += 1
            picture = f"{inspection} {number}".encode() * 2000
            store.add_photo(inspection, 1, "", "p.jpg", picture, "{}", picture[:-1], None)
            store.add_entry(inspection, "reading", str(number), cylinder=1)
            say(f"{inspection} {number}")


def saved(folder: Path, turn: int, said: list[str]) -> None:
    """Everything acknowledged is there in its order, and the store is whole."""
    with Store.open(folder / "store") as store:
        must(be=verify(store).whole, words=f"turn {turn}: {verify(store).faults}")
        known = dict(line.split() for line in said)  # the last number of each inspection
        for inspection, number in known.items():
            kept = store.load(inspection)
            numbers = [int(e.body_json) for e in kept.entries]
            must(
                be=numbers[: int(number)] == [*range(1, int(number) + 1)],
                words=f"turn {turn}: an entry is lost",
            )
            must(be=len(kept.photos) >= int(number), words=f"turn {turn}: a photo is lost")


# ---------------------------------------------------------------------------------------------------------- exporting
def _set() -> tuple[LabelledSet, dict[str, SetPicture]]:
    out = io.BytesIO()
    Image.fromarray(np.random.default_rng(1).integers(0, 255, (200, 170, 3), np.uint8)).save(out, "JPEG")
    picture = SetPicture(out.getvalue(), np.ones((200, 170), np.uint8), (200, 170))
    name = image_name(picture.data)
    photo = LabelledPhoto(
        name, hashlib.sha256(picture.data).hexdigest(), "side", cleaned=False, values=(1.5, None)
    )
    plug = LabelledPlug(
        plug="p", engine="e", cylinder=1, position="", deposits=("dry carbon",), damage=(), absent=(),
        damage_absent=(), grade=Grade.EYE, blind=False, suggested=(), model_digest="", decided="2026-03-04",
        photos=(photo,),
    )  # fmt: skip
    when = "2026-03-04T12:00:00+00:00"
    return LabelledSet(FORMAT, when, "t", "CC0", "given", "c", ("a", "b"), invented=True, plugs=(plug,)), {
        name: picture
    }


def fill(folder: Path) -> None:
    """Make a store to copy."""
    with Store.open(folder / "store") as store:
        inspection = store.new_inspection("Invented engine", "{}", invented=True).id
        for n in range(6):
            store.add_photo(inspection, 1, "", "p.jpg", str(n).encode() * 40_000, "{}")
        back_up(store, folder / "first.zip")


def export(folder: Path, turn: int, say: Say) -> None:
    """Write sets as folder and zip, and backups, again and again under new names."""
    labelled, pictures = _set()
    number = 0
    with Store.open(folder / "store") as store:
        while True:
            number += 1
            for name in (f"{turn}-{number}", f"{turn}-{number}.zip"):
                write_set(labelled, pictures, folder / "out" / name)
                say(name)
            back_up(store, folder / "out" / f"{turn}-{number}.backup")
            say(f"{turn}-{number}.backup")
            restore(folder / "first.zip", folder / "out" / f"{turn}-{number}.store")
            say(f"{turn}-{number}.store")


def exported(folder: Path, turn: int, said: list[str]) -> None:
    """Whatever has its name is whole; what was acknowledged is there; what is no store yet can be made one."""
    names = {p.name for p in (folder / "out").glob("*") if not p.name.startswith(".")}
    mine = {line for line in said if line.startswith(f"{turn}-")}
    must(be=mine <= names, words=f"turn {turn}: lost {sorted(mine - names)}")
    for name in sorted(n for n in names if n.startswith(f"{turn}-")):
        path = folder / "out" / name
        if name.endswith(".store"):
            if not (path / "plugsight.sqlite").exists():
                restore(folder / "first.zip", path)
            with Store.open(path) as store:
                must(be=verify(store).whole and len(store.recent()) == 1, words=f"{name} is not whole")
        elif name.endswith(".backup"):
            restore(path, folder / "again" / name)
        else:
            must(be=len(read_set(path).labelled.plugs) == 1, words=f"{name} is not whole")


# ---------------------------------------------------------------------------------------------------------- migrating
def migrate(folder: Path, turn: int, say: Say) -> None:
    """Bring empty databases to the form of this version, one after the other."""
    number = 0
    while True:
        number += 1
        with Store.open(folder / f"{turn}-{number}.sqlite") as store:
            inspection = store.new_inspection("Invented engine", "{}", invented=True).id
        say(f"{turn}-{number}.sqlite {inspection}")


def migrated(folder: Path, turn: int, said: list[str]) -> None:
    """Every database opens, whole, with what was acknowledged in it."""
    known = dict(line.split() for line in said)
    for path in folder.glob(f"{turn}-*.sqlite"):
        with Store.open(path) as store:
            must(be=verify(store).whole, words=f"{path.name}: {verify(store).faults}")
            if path.name in known:
                store.load(known[path.name])


# ---------------------------------------------------------------------------------------------------------- promoting
def _model(seed: int, folder: Path) -> str:
    rng = np.random.default_rng(seed)
    classes, columns = tuple(Deposit)[:3], 12
    x = rng.normal(size=(60, columns + len(KINDS))).astype(np.float32)
    rows = x[:, :columns]
    model = DepositModel(
        classes=classes, names=tuple(f"f{n}" for n in range(columns)), catalogue=catalogue_digest(),
        estimator=LogisticRegression().fit(x, [str(c) for c in classes] * 20), temperature=1.0, coverage=0.95,
        thresholds=np.full(3, 0.5), usual=np.zeros(columns, np.float32),
        novelty=Novelty(rows, rows.mean(axis=0), rows.std(axis=0), 5, 9.0), damage={}, trained="made up",
        libraries=libraries(),
    )  # fmt: skip
    return save_model(replace(model, digest=""), folder).digest


def models(folder: Path) -> None:
    """Make two models to change between."""
    digests = [_model(seed, folder / f"model{seed}") for seed in (1, 2)]
    (folder / "digests.json").write_text(json.dumps(digests))
    os.environ["PLUGSIGHT_MODELS"] = str(folder / "shop")
    active.promote(folder / "model1")


def promote(folder: Path, turn: int, say: Say) -> None:
    """Promote one model, then the other, then go back, for ever."""
    os.environ["PLUGSIGHT_MODELS"] = str(folder / "shop")
    while True:
        for seed in (2, 1):
            say(f"{turn} {active.promote(folder / f'model{seed}')}")
        say(f"{turn} {active.roll_back()}")


def promoted(folder: Path, turn: int, said: list[str]) -> None:
    """The model in use loads, and is one of the two."""
    os.environ["PLUGSIGHT_MODELS"] = str(folder / "shop")
    digests = json.loads((folder / "digests.json").read_text())
    try:
        used = load_model(active.active_folder()).digest
    except PlugsightError as problem:
        raise AssertionError(f"turn {turn}, after {len(said)} changes: {problem}") from problem
    must(be=used in digests, words=f"turn {turn}: another model is in use")


WORKS = {
    "saving": Work(lambda _: None, save, saved),
    "exporting": Work(fill, export, exported),
    "migrating": Work(lambda _: None, migrate, migrated),
    "promoting": Work(models, promote, promoted),
}
