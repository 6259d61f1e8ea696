"""Connections that keep what they acknowledge, and database faults said in words a person can act on."""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.exc import DatabaseError, DBAPIError, NoSuchModuleError, SQLAlchemyError

from plugsight.store.location import Location
from plugsight.vocabulary.errors import StoreError

BUSY_SECONDS = 15.0
"""How long a write waits for another process before it gives up and says so."""

POOL: dict[str, Any] = {"pool_size": 20, "max_overflow": 20}
"""Connections of one process: 20 people at once find one free, 40 take turns."""

_WRITE = "plugsight_write"

_RESTORE = "Restore a backup with 'plugsight restore'."

# What the database says -> what the person can do. Checked in order against the driver's own message.
_FAULTS = (
    ("locked", "another program holds the store", "Wait until it is done or close it, then try again."),
    (
        "readonly",
        "the store is read-only",
        "Give yourself write access to it, or choose another with --store.",
    ),
    ("full", "the disk is full", "Free some space and try again; nothing was half-saved."),
    (
        "not a database",
        "the file is not a plugsight store",
        "Choose another with --store, or restore a backup.",
    ),
    ("malformed", "the store's file is damaged", _RESTORE),
    (
        "unable to open",
        "the store can't be opened",
        "Check that the folder exists and that you may write to it.",
    ),
    ("disk i/o", "the disk failed to read or write", "Check the disk, then restore a backup if needed."),
    ("timeouterror", "too many people use it at once", "Try again in a moment; nothing was half-saved."),
    ("connection", "the database server can't be reached", "Check the URL and that the server runs."),
)


def make_engine(location: Location) -> Engine:
    """Make the SQLAlchemy engine; on SQLite with write-ahead log, full sync, foreign keys and a busy timeout."""
    try:
        if location.database is None:
            return create_engine(location.url, pool_pre_ping=True, **POOL)
        engine = create_engine(
            location.url, connect_args={"isolation_level": None, "timeout": BUSY_SECONDS}, **POOL
        )
    except (NoSuchModuleError, ModuleNotFoundError) as problem:
        raise StoreError(
            f"store {location}: the database driver is not installed. Install it: pip install 'psycopg[binary]'"
        ) from problem

    @event.listens_for(engine, "connect")
    def _set_up(raw: sqlite3.Connection, _record: Any) -> None:
        cursor = raw.cursor()
        # WAL survives a cut at any moment; FULL syncs it at every commit, so an answer "saved" is true.
        for pragma in ("journal_mode=WAL", "synchronous=FULL", "foreign_keys=ON"):
            cursor.execute(f"PRAGMA {pragma}")
        cursor.close()

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        # A write takes its lock at once: two writers queue instead of failing half way.
        write = connection.get_execution_options().get(_WRITE)
        connection.exec_driver_sql("BEGIN IMMEDIATE" if write else "BEGIN")

    return engine


@contextmanager
def reading(engine: Engine, location: Location) -> Iterator[Connection]:
    """One consistent look at the store."""
    with _said_in_words(location), engine.connect() as connection:
        if location.database is None:
            # A server shows each query a newer state unless told otherwise; SQLite keeps one for the transaction.
            connection.execution_options(isolation_level="REPEATABLE READ")
        with connection.begin():
            yield connection


@contextmanager
def writing(engine: Engine, location: Location) -> Iterator[Connection]:
    """One transaction: all of it is saved and synced on leaving, or nothing is."""
    with _said_in_words(location), engine.connect() as connection:
        connection.execution_options(**{_WRITE: True})
        with connection.begin():
            yield connection


@contextmanager
def _said_in_words(location: Location) -> Iterator[None]:
    try:
        yield
    except SQLAlchemyError as problem:
        raise fault(location, problem) from problem
    except (sqlite3.Error, UnicodeDecodeError, OverflowError) as problem:
        # What a damaged file makes the driver say outside SQLAlchemy's own handling.
        raise StoreError(f"store {location}: the store's file is damaged. {_RESTORE}") from problem


def fault(location: Location, problem: SQLAlchemyError) -> StoreError:
    """Turn a database error into a line with a remedy (never with the values that were being saved)."""
    driver = problem.orig if isinstance(problem, DBAPIError | DatabaseError) else None
    said = str(driver or type(problem).__name__).splitlines()[0]
    for sign, rule, remedy in _FAULTS:
        if sign in said.lower():
            return StoreError(f"store {location}: {rule}. {remedy}")
    return StoreError(f"store {location}: the database refused ({said}). Try again, or restore a backup.")
