"""Append-only entries: decisions, bench answers, readings, checks, repairs. Nothing is overwritten, a mistake is withdrawn."""

from sqlalchemy import Connection, func, insert, select, update

from plugsight.store import tables as t
from plugsight.store.conflict import Conflict
from plugsight.store.inspections import stamp, touch
from plugsight.store.record import EntryKind
from plugsight.vocabulary.errors import StoreError

WHOLE_ENGINE = (0, "")
"""The place of entries that belong to no plug."""


def add(
    connection: Connection,
    inspection_id: str,
    kind: EntryKind,
    body_json: str,
    *,
    place: tuple[int, str] = WHOLE_ENGINE,
    replaces: int | None = None,
) -> int:
    """Append one entry and return its id.

    A confirmation must name the latest one it replaces (None for the plug's first); if somebody else confirmed the
    plug meanwhile, ``Conflict`` says so and nothing is saved.
    """
    e = t.entry.c
    touch(connection, inspection_id)
    last = connection.execute(
        select(func.max(e.number)).where(
            e.inspection_id == inspection_id,
            e.kind == kind.value,
            e.cylinder == place[0],
            e.position == place[1],
        )
    ).scalar()
    if kind is EntryKind.CONFIRMATION and last != replaces:
        plug = f"{place[0]} {place[1]}".strip()
        raise Conflict(
            f"inspection {inspection_id}, plug {plug}: somebody else decided it meanwhile. "
            "Yours was not saved: reload, look at their decision, and decide again if you disagree."
        )
    made: int = connection.execute(
        insert(t.entry)
        .values(
            inspection_id=inspection_id,
            kind=kind.value,
            cylinder=place[0],
            position=place[1],
            number=(last or 0) + 1,
            replaces=replaces,
            body_json=body_json,
            at=stamp(),
            withdrawn_at=None,
        )
        .returning(t.entry.c.id)
    ).scalar_one()
    return made


def withdraw(connection: Connection, entry_id: int) -> None:
    """Mark an entry as withdrawn; twice changes nothing. A decision isn't withdrawn: a later one supersedes it."""
    row = connection.execute(
        select(t.entry.c.inspection_id, t.entry.c.kind, t.entry.c.withdrawn_at).where(
            t.entry.c.id == entry_id
        )
    ).one_or_none()
    if row is None:
        raise StoreError(f"entry {entry_id}: there is none with this number here. Reload the inspection.")
    if row.kind == EntryKind.CONFIRMATION:
        raise StoreError(f"entry {entry_id}: a decision can't be withdrawn. Decide the plug again.")
    touch(connection, row.inspection_id)
    if row.withdrawn_at is None:
        connection.execute(update(t.entry).where(t.entry.c.id == entry_id).values(withdrawn_at=stamp()))


def set_outcome(connection: Connection, inspection_id: str, *, open_outcome: bool) -> None:
    """Say whether the outcome of the repair is still open."""
    connection.execute(
        update(t.inspection).where(t.inspection.c.id == inspection_id).values(open_outcome=open_outcome)
    )
