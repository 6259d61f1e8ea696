"""Write inspections: begin one, replace its facts, count its versions."""

import secrets
from datetime import UTC, datetime, timedelta

from sqlalchemy import Connection, insert, select, update
from sqlalchemy.exc import IntegrityError

from plugsight.store import tables as t
from plugsight.store.conflict import Conflict
from plugsight.vocabulary.errors import InputError, StoreError

_ALPHABET = "23456789abcdefghjkmnpqrstuvwxyz"
"""Without characters that are mistaken for each other: an id is read aloud and typed."""
_ID_LENGTH = 12
_NAME_LENGTH = 200


def begin(connection: Connection, engine_name: str, facts_json: str, *, invented: bool) -> str:
    """Begin an inspection of a new or known engine and return its id."""
    engine_id = _engine_id(connection, clean_name(engine_name))
    inspection_id = "".join(secrets.choice(_ALPHABET) for _ in range(_ID_LENGTH))
    now = stamp()
    connection.execute(
        insert(t.inspection).values(
            id=inspection_id,
            engine_id=engine_id,
            facts_json=facts_json,
            invented=invented,
            version=1,
            started=now,
            updated=now,
            open_outcome=True,
        )
    )
    return inspection_id


def replace_facts(
    connection: Connection,
    inspection_id: str,
    facts_json: str,
    *,
    expected_version: int,
    engine_name: str | None = None,
) -> None:
    """Replace the facts (and the engine), unless somebody else has written since ``expected_version``."""
    version = touch(connection, inspection_id)
    if version != expected_version:
        raise Conflict(
            f"inspection {inspection_id}: somebody else changed it meanwhile (version {version}, yours "
            f"{expected_version}). Yours was not saved: reload it, look at what changed, and enter it again."
        )
    values: dict[str, object] = {"facts_json": facts_json}
    if engine_name is not None:
        values["engine_id"] = _engine_id(connection, clean_name(engine_name))
    connection.execute(update(t.inspection).where(t.inspection.c.id == inspection_id).values(values))


def touch(connection: Connection, inspection_id: str) -> int:
    """Lock the inspection, raise its version by one, and return the version it had.

    Time never runs backwards within an inspection, whatever the clock does.
    """
    row = connection.execute(
        select(t.inspection.c.version, t.inspection.c.updated)
        .where(t.inspection.c.id == inspection_id)
        .with_for_update()
    ).one_or_none()
    if row is None:
        raise unknown(inspection_id)
    connection.execute(
        update(t.inspection)
        .where(t.inspection.c.id == inspection_id)
        .values(version=row.version + 1, updated=stamp(row.updated))
    )
    return int(row.version)


def unknown(inspection_id: str) -> StoreError:
    """Say that there is no such inspection."""
    return StoreError(
        f"inspection '{inspection_id[:40]}': there is none with this id here. "
        "List them with 'plugsight list', or give the store it is in with --store."
    )


def stamp(after: str = "") -> str:
    """Return the present moment as stored text, later than ``after``."""
    now = datetime.now(UTC)
    if after and now.isoformat(timespec="microseconds") <= after:
        now = datetime.fromisoformat(after) + timedelta(microseconds=1)
    return now.isoformat(timespec="microseconds")


def clean_name(engine_name: str) -> str:
    """Return the name with outer blanks removed; refuse an empty, too long or unprintable one."""
    name = " ".join(engine_name.split())
    if not name or len(name) > _NAME_LENGTH or not name.isprintable():
        raise InputError(
            "engine name",
            f"an engine needs a printable name of 1 to {_NAME_LENGTH} characters",
            "Name it as you would find it again: make, model, plate or serial number.",
            name[:40],
        )
    return name


def _engine_id(connection: Connection, name: str) -> int:
    known: int | None = connection.execute(select(t.engine.c.id).where(t.engine.c.name == name)).scalar()
    if known is not None:
        return known
    try:
        with connection.begin_nested():
            made: int = connection.execute(
                insert(t.engine).values(name=name).returning(t.engine.c.id)
            ).scalar_one()
    except IntegrityError:  # on a server, somebody else named the same engine at the same moment
        other: int = connection.execute(select(t.engine.c.id).where(t.engine.c.name == name)).scalar_one()
        return other
    return made
