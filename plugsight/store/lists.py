"""Lists: recent inspections and known engines."""

from sqlalchemy import Connection, func, select

from plugsight.store import tables as t
from plugsight.store.inspections import clean_name
from plugsight.store.record import EntryKind, StoredEngine, StoredSummary


def recent(
    connection: Connection, *, limit: int, offset: int, engine_name: str | None, open_outcomes: bool
) -> tuple[StoredSummary, ...]:
    """Return inspections, last changed first."""
    i = t.inspection.c
    photos = (
        select(func.count())
        .where(t.photo.c.inspection_id == i.id, t.photo.c.removed.is_(False))
        .scalar_subquery()
    )
    decided = (
        select(func.count())
        .where(
            t.entry.c.inspection_id == i.id,
            t.entry.c.kind == EntryKind.CONFIRMATION.value,
            # Each plug's decisions are numbered from 1: the first ones count the plugs.
            t.entry.c.number == 1,
        )
        .scalar_subquery()
    )
    # The page's ids come from the index alone; names and counts are looked up for these only, however far back it is.
    page = select(i.id).order_by(i.updated.desc(), i.id.desc()).limit(limit).offset(offset)
    if engine_name is not None:
        page = page.join(t.engine).where(t.engine.c.name == clean_name(engine_name))
    if open_outcomes:
        page = page.where(i.open_outcome.is_(True))
    query = (
        select(
            t.inspection,
            t.engine.c.name.label("engine_name"),
            photos.label("photos"),
            decided.label("decided"),
        )
        .join(t.engine)
        .where(i.id.in_(page.scalar_subquery()))
        .order_by(i.updated.desc(), i.id.desc())
    )
    return tuple(
        StoredSummary(
            id=row.id,
            engine_name=row.engine_name,
            invented=row.invented,
            version=row.version,
            started=row.started,
            updated=row.updated,
            open_outcome=row.open_outcome,
            photos=row.photos,
            decided=row.decided,
        )
        for row in connection.execute(query)
    )


def engines(connection: Connection, *, starting: str, limit: int, offset: int) -> tuple[StoredEngine, ...]:
    """Return engines by name; counted only for those returned, so that a long list stays quick."""
    i = t.inspection.c
    count = select(func.count()).where(i.engine_id == t.engine.c.id).scalar_subquery()
    last = select(func.max(i.updated)).where(i.engine_id == t.engine.c.id).scalar_subquery()
    query = select(t.engine.c.name, count, last).order_by(t.engine.c.name).limit(limit).offset(offset)
    if starting:
        query = query.where(t.engine.c.name.istartswith(starting, autoescape=True))
    rows = connection.execute(query)
    return tuple(
        StoredEngine(name, inspections, updated) for name, inspections, updated in rows if inspections
    )
