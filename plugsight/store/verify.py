"""Check that a store is whole: tables, references, and every photo against its digest."""

from collections.abc import Callable
from dataclasses import dataclass

from sqlalchemy import Connection, func, select, union

from plugsight.store import tables as t
from plugsight.store.connection import reading
from plugsight.store.store import Store
from plugsight.vocabulary.errors import StoreError

Tick = Callable[[int, int], None]
"""Called with how many files are done and how many there are."""


@dataclass(frozen=True, slots=True)
class Health:
    """What was found. ``spare`` files belong to no photo: left by a cut between file and database, harmless."""

    inspections: int
    photos: int
    faults: tuple[str, ...]
    spare: int

    @property
    def whole(self) -> bool:
        """Whether nothing is missing or damaged."""
        return not self.faults


def verify(store: Store, tick: Tick | None = None) -> Health:
    """Read everything once; damage is listed, not raised."""
    with reading(store.engine, store.location) as c:
        faults = _database_faults(c)
        inspections = c.execute(select(func.count()).select_from(t.inspection)).scalar_one()
        photos = c.execute(select(func.count()).select_from(t.photo)).scalar_one()
        named = referenced(c)
    for number, digest in enumerate(named, 1):
        try:
            store.blobs.get(digest)
        except StoreError as problem:
            faults.append(str(problem))
        if tick is not None:
            tick(number, len(named))
    spare = len({*store.blobs.digests()} - {*named})
    return Health(inspections, photos, tuple(faults), spare)


def referenced(connection: Connection) -> tuple[str, ...]:
    """Return every digest that a photo names, sorted; removed photos count."""
    p = t.photo.c
    every = union(select(p.blob), select(p.overlay), select(p.canonical)).subquery()
    digests = connection.execute(select(every.c[0])).scalars()
    return tuple(sorted(str(d) for d in digests if d))  # a damaged file may hold anything


def _database_faults(connection: Connection) -> list[str]:
    if connection.dialect.name != "sqlite":
        return []
    said = connection.exec_driver_sql("PRAGMA integrity_check").scalars().all()
    broken = [f"database: {s}. Restore a backup." for s in said if s != "ok"]
    loose = connection.exec_driver_sql("PRAGMA foreign_key_check").all()
    return broken + [f"database: a row of '{row[0]}' points nowhere. Restore a backup." for row in loose]
