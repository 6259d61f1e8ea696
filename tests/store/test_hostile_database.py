"""A damaged database file is read right or refused in words: no crash, no wrong bytes."""

import contextlib
import random
import shutil
from pathlib import Path

import pytest

from plugsight.store import Store, verify
from plugsight.vocabulary.errors import StoreError

CASES = 30
PAGE = 4096  # SQLite's default page size


@pytest.fixture(scope="module")
def good(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    folder = tmp_path_factory.mktemp("good")
    with Store.open(folder) as store:
        made = store.new_inspection("Invented engine", "{}" * 100, invented=True)
        for cylinder in range(1, 5):
            store.add_photo(made.id, cylinder, "", "p.jpg", f"picture {cylinder}".encode(), "{}" * 100)
            store.add_entry(made.id, "confirmation", "{}", cylinder=cylinder)
    return folder, made.id


def _damage(raw: bytes, chance: random.Random) -> bytes:
    data = bytearray(raw)
    match chance.randrange(4):
        case 0:
            for _ in range(chance.randint(1, 30)):
                data[chance.randrange(len(data))] = chance.randrange(256)
        case 1:
            data = data[: chance.randrange(len(data))]
        case 2:
            page = chance.randrange(0, len(data), PAGE)
            data[page : page + PAGE] = chance.randbytes(PAGE)
        case _:
            at = chance.randrange(len(data))
            del data[at : at + chance.randint(1, 100)]
    return bytes(data)


@pytest.mark.parametrize("seed", range(3))
def test_damaged_database_is_refused_in_words(good: tuple[Path, str], tmp_path: Path, seed: int) -> None:
    folder, known = good
    chance = random.Random(seed)  # noqa: S311 - a seed, no secret
    raw = (folder / "plugsight.sqlite").read_bytes()
    steps = (
        lambda store: store.recent(),
        lambda store: store.engines(),
        lambda store: store.history("Invented engine"),
        lambda store: store.load(known),
        verify,
        lambda store: store.add_entry(known, "reading", "{}", cylinder=1),
        lambda store: store.new_inspection("e", "{}", invented=True),
    )
    for case in range(CASES // 3):
        place = tmp_path / str(case)
        shutil.copytree(folder / "files", place / "files")
        (place / "plugsight.sqlite").write_bytes(_damage(raw, chance))
        with contextlib.suppress(StoreError), Store.open(place) as store:
            for step in steps:
                with contextlib.suppress(StoreError):
                    step(store)
