"""Read inspections whole, in four queries however many are asked for."""

from collections import defaultdict
from collections.abc import Sequence

from sqlalchemy import Connection, Row, Select, select

from plugsight.store import tables as t
from plugsight.store.inspections import clean_name, unknown
from plugsight.store.record import EntryKind, StoredEntry, StoredInspection, StoredPhoto
from plugsight.vocabulary.errors import StoreError


def load(connection: Connection, inspection_id: str, *, everything: bool) -> StoredInspection:
    """Return one inspection; an unknown id is a ``StoreError``."""
    found = _load(connection, t.inspection.c.id == inspection_id, everything=everything)
    if not found:
        raise unknown(inspection_id)
    return found[0]


def history(connection: Connection, engine_name: str) -> tuple[StoredInspection, ...]:
    """Return every inspection of one engine, oldest first; empty for an unknown engine."""
    engine_id = connection.execute(
        select(t.engine.c.id).where(t.engine.c.name == clean_name(engine_name))
    ).scalar()
    if engine_id is None:
        return ()
    return _load(connection, t.inspection.c.engine_id == engine_id, everything=False)


def photo_of(connection: Connection, photo_id: int) -> StoredPhoto:
    """Return one photo by its number."""
    return _photo(connection.execute(select(t.photo).where(t.photo.c.id == photo_id)).one())


def entry_of(connection: Connection, entry_id: int) -> StoredEntry:
    """Return one entry by its number."""
    return _entry(connection.execute(select(t.entry).where(t.entry.c.id == entry_id)).one())


def _load(connection: Connection, chosen: object, *, everything: bool) -> tuple[StoredInspection, ...]:
    heads = connection.execute(
        select(t.inspection, t.engine.c.name.label("engine_name"))
        .join(t.engine)
        .where(chosen)  # type: ignore[arg-type]
        .order_by(t.inspection.c.started, t.inspection.c.id)
    ).all()
    ids = select(t.inspection.c.id).where(chosen)  # type: ignore[arg-type]
    photos = _photos(connection, ids, everything=everything)
    entries = _entries(connection, ids, everything=everything)
    return tuple(_whole(head, photos[head.id], entries[head.id]) for head in heads)


def _photos(
    connection: Connection, ids: Select[tuple[str]], *, everything: bool
) -> defaultdict[str, list[StoredPhoto]]:
    query = select(t.photo).where(t.photo.c.inspection_id.in_(ids)).order_by(t.photo.c.id)
    if not everything:
        query = query.where(t.photo.c.removed.is_(False))
    found: defaultdict[str, list[StoredPhoto]] = defaultdict(list)
    for row in connection.execute(query):
        found[row.inspection_id].append(_photo(row))
    return found


def _entries(
    connection: Connection, ids: Select[tuple[str]], *, everything: bool
) -> defaultdict[str, list[StoredEntry]]:
    query = select(t.entry).where(t.entry.c.inspection_id.in_(ids)).order_by(t.entry.c.id)
    if not everything:
        query = query.where(t.entry.c.withdrawn_at.is_(None))
    found: defaultdict[str, list[StoredEntry]] = defaultdict(list)
    for row in connection.execute(query):
        found[row.inspection_id].append(_entry(row))
    return found


def _whole(
    head: Row[tuple[object, ...]], photos: Sequence[StoredPhoto], entries: Sequence[StoredEntry]
) -> StoredInspection:
    return StoredInspection(
        id=head.id,
        engine_name=head.engine_name,
        facts_json=head.facts_json,
        invented=head.invented,
        version=head.version,
        started=head.started,
        updated=head.updated,
        open_outcome=head.open_outcome,
        photos=tuple(photos),
        entries=tuple(entries),
    )


def _photo(row: Row[tuple[object, ...]]) -> StoredPhoto:
    return StoredPhoto(
        id=row.id,
        cylinder=row.cylinder,
        position=row.position,
        name=row.name,
        digest=row.digest,
        blob_digest=row.blob,
        look_json=row.look_json,
        overlay_digest=row.overlay,
        canonical_digest=row.canonical,
        added=row.added,
        removed=row.removed,
    )


def _entry(row: Row[tuple[object, ...]]) -> StoredEntry:
    return StoredEntry(
        id=row.id,
        kind=_kind(row.kind),
        cylinder=row.cylinder or None,
        position=row.position,
        number=row.number,
        replaces=row.replaces,
        body_json=row.body_json,
        at=row.at,
        withdrawn=row.withdrawn_at is not None,
    )


def _kind(stored: str) -> EntryKind:
    try:
        return EntryKind(stored)
    except ValueError as problem:
        raise StoreError("store: an entry of an unknown kind stands in it. Restore a backup.") from problem
