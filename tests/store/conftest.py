"""A real store in a folder of its own."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from plugsight.store import Store, StoredInspection


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with Store.open(tmp_path / "store") as opened:
        yield opened


@pytest.fixture
def inspection(store: Store) -> StoredInspection:
    return store.new_inspection("Invented engine", "{}", invented=True)
