"""Hostile database files and backups: opened, read, written, restored."""

import io
import random
import shutil
import zipfile
from collections.abc import Callable
from pathlib import Path

from mutate import mutated_bytes, mutated_json

from plugsight.store import Store, back_up, restore, verify
from plugsight.vocabulary.errors import StoreError

GOOD: dict[str, bytes] = {}
PAGE = 4096  # SQLite's default page size
INSPECTION = ""


def _good(folder: Path) -> None:
    with Store.open(folder / "good") as store:
        made = store.new_inspection("Invented engine", '{"a": 1}' * 50, invented=True)
        for cylinder in range(1, 5):
            store.add_photo(made.id, cylinder, "", "p.jpg", f"picture {cylinder}".encode(), "{}" * 100)
            store.add_entry(made.id, "confirmation", "{}", cylinder=cylinder)
        back_up(store, folder / "good.zip")
    GOOD["database"] = (folder / "good" / "plugsight.sqlite").read_bytes()
    GOOD["backup"] = (folder / "good.zip").read_bytes()
    GOOD["id"] = made.id.encode()
    (folder / "good" / "files").rename(folder / "files")
    shutil.rmtree(folder / "good")
    (folder / "good.zip").unlink()


def _damaged(raw: bytes, chance: random.Random) -> bytes:
    if chance.random() < 0.3:
        data = bytearray(raw)
        page = chance.randrange(0, len(data), PAGE)
        data[page : page + PAGE] = chance.randbytes(PAGE)
        return bytes(data)
    return mutated_bytes(raw, chance)


def attack_database(number: int, chance: random.Random, target: Path) -> Callable[[], object]:
    """Open one hostile database, and do everything with it that can be done."""
    if not GOOD:
        _good(target)
    known = GOOD["id"].decode()
    place = target / f"store{number}"
    shutil.copytree(target / "files", place / "files")
    (place / "plugsight.sqlite").write_bytes(
        _damaged(GOOD["database"], chance) if number else GOOD["database"]
    )
    steps: tuple[Callable[[Store], object], ...] = (
        lambda store: store.recent(),
        lambda store: store.engines(),
        lambda store: store.history("Invented engine"),
        lambda store: store.load(known),
        verify,
        lambda store: store.add_entry(known, "reading", "{}", cylinder=1),
        lambda store: store.new_inspection("e", "{}", invented=True),
        lambda store: back_up(store, place / "b.zip"),
    )

    def use() -> None:
        refused: list[StoreError] = []
        with Store.open(place) as store:
            for step in steps:
                try:
                    step(store)
                except StoreError as problem:
                    refused.append(problem)
        if refused:
            raise refused[0]

    return use


def attack_backup(number: int, chance: random.Random, target: Path) -> Callable[[], object]:
    """Restore one hostile backup."""
    if not GOOD:
        _good(target)
    raw = GOOD["backup"]
    if number == 0:
        pass
    elif chance.random() < 0.6:  # damaged inside, the zip around it whole
        out = io.BytesIO()
        with zipfile.ZipFile(io.BytesIO(raw)) as whole, zipfile.ZipFile(out, "w") as made:
            names = whole.namelist()
            hit = chance.choice(("backup.json", "plugsight.sqlite", names[-1]))
            for name in names:
                data = whole.read(name)
                if name == hit:
                    data = mutated_json(data, chance) if name.endswith("json") else _damaged(data, chance)
                made.writestr(name, data)
            if chance.random() < 0.3:
                made.writestr(chance.choice(("../evil", "/evil", "files/../../evil")), b"evil")
        raw = out.getvalue()
    else:
        raw = mutated_bytes(raw, chance)
    source, place = target / "backup.zip", target / f"restored{number}"
    source.write_bytes(raw)

    def use() -> None:
        try:
            restore(source, place)
        except StoreError:
            if (place / "plugsight.sqlite").exists():
                raise AssertionError("a refused backup left a store behind") from None
            raise
        with Store.open(place) as store:
            store.recent()

    return use
