"""The same store on a PostgreSQL server, where one is named (an empty database, which is emptied again).

PLUGSIGHT_TEST_POSTGRES=postgresql+psycopg://user@127.0.0.1:5432/name pytest tests/store/test_postgresql.py
"""

import os
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from threading import Barrier

import pytest
from sqlalchemy import inspect

from plugsight.store import Conflict, Store, verify
from plugsight.store.connection import writing
from plugsight.store.migrate import run_alembic
from plugsight.vocabulary.errors import InputError, StoreError

SERVER = os.environ.get("PLUGSIGHT_TEST_POSTGRES", "")
if not SERVER:
    pytest.skip(
        "no PostgreSQL server named in PLUGSIGHT_TEST_POSTGRES: only SQLite was tested",
        allow_module_level=True,
    )
USERS = 20


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Store]:
    with Store.open(SERVER, files=tmp_path) as store:
        yield store
        with writing(store.engine, store.location) as c:
            run_alembic(c, "base")
            c.exec_driver_sql("DROP TABLE alembic_version")


def test_inspection_comes_back_as_saved(server: Store) -> None:
    made = server.new_inspection("Invented engine", "{}", invented=True)
    photo = server.add_photo(made.id, 1, "", "a.jpg", b"picture", "{}", b"over")
    with pytest.raises(InputError, match="already stands at plug 1"):
        server.add_photo(made.id, 2, "", "a.jpg", b"picture", "{}")
    entry = server.add_entry(made.id, "confirmation", "{}", cylinder=1)
    with pytest.raises(Conflict):
        server.add_entry(made.id, "confirmation", "{}", cylinder=1)
    kept = server.load(made.id)
    assert (kept.photos, kept.entries, kept.version) == ((photo,), (entry,), 3)
    assert [s.id for s in server.recent(engine="Invented engine")] == [made.id]
    assert verify(server).whole


def test_many_users_at_once_lose_no_update(server: Store) -> None:
    shared = server.new_inspection("Shared engine", "{}", invented=True).id

    together = Barrier(USERS)

    def work(user: int) -> int:
        together.wait()
        own = server.new_inspection("Engine named by all at once", "{}", invented=True)
        for number in range(5):
            server.add_entry(shared, "reading", f"{user} {number}", cylinder=1)
            server.add_entry(own.id, "reading", f"{user} {number}", cylinder=1)
        return server.load(own.id).version

    with ThreadPoolExecutor(USERS) as users:
        versions = list(users.map(work, range(USERS)))
    assert versions == [6] * USERS
    kept = server.load(shared)
    assert sorted(e.number for e in kept.entries) == list(range(1, 5 * USERS + 1))
    assert kept.version == 5 * USERS + 1
    assert len(server.history("Engine named by all at once")) == USERS


def test_second_writer_is_told(server: Store) -> None:
    made = server.new_inspection("Invented engine", "{}", invented=True)
    server.set_facts(made.id, '{"by": 1}', expected_version=1)
    with pytest.raises(Conflict):
        server.set_facts(made.id, '{"by": 2}', expected_version=1)


def test_migration_goes_down_and_up_again(server: Store) -> None:
    with writing(server.engine, server.location) as c:
        run_alembic(c, "base")
        assert inspect(c).get_table_names() == ["alembic_version"]
        run_alembic(c, "head")
    server.new_inspection("Invented engine", "{}", invented=True)


def test_store_from_a_newer_version_is_refused(server: Store) -> None:
    with writing(server.engine, server.location) as c:
        c.exec_driver_sql("UPDATE alembic_version SET version_num = '9999'")
    try:
        with pytest.raises(StoreError, match="made by a newer plugsight"):
            Store.open(SERVER)
    finally:
        with writing(server.engine, server.location) as c:
            c.exec_driver_sql("UPDATE alembic_version SET version_num = '0001'")
