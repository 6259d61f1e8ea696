"""Bring a store's tables to the form this version needs; refuse a store that a newer version made."""

from pathlib import Path

from sqlalchemy import Connection, Engine, inspect, text

from plugsight.store.connection import reading, writing
from plugsight.store.location import Location
from plugsight.vocabulary.errors import StoreError

REVISIONS = ("0001",)
"""Every revision in order; the last one is what this version reads and writes."""

_SERVER_LOCK = 7_584_201
"""Any constant: held while migrating a server, so that two programs starting at once don't both do it."""


def migrate(engine: Engine, location: Location) -> None:
    """Upgrade an empty or older store in one transaction; do nothing when it is current."""
    with reading(engine, location) as connection:
        if _revision(connection, location) == REVISIONS[-1]:
            return
    with writing(engine, location) as connection:
        if connection.dialect.name == "postgresql":
            connection.execute(text("SELECT pg_advisory_xact_lock(:key)"), {"key": _SERVER_LOCK})
        if _revision(connection, location) != REVISIONS[-1]:
            run_alembic(connection, "head")


def run_alembic(connection: Connection, target: str) -> None:
    """Move to ``target`` (a revision, ``head`` or ``base``) on the caller's connection and transaction."""
    # Alembic takes a quarter of a second to import and is needed once in a store's life.
    from alembic import command  # noqa: PLC0415
    from alembic.config import Config  # noqa: PLC0415

    config = Config()
    config.set_main_option("script_location", str(Path(__file__).parent / "alembic").replace("%", "%%"))
    config.set_main_option("path_separator", "os")
    config.attributes["connection"] = connection
    (command.downgrade if target == "base" else command.upgrade)(config, target)


def _revision(connection: Connection, location: Location) -> str | None:
    """Return the store's revision, None for an empty database."""
    tables = inspect(connection).get_table_names()
    if "alembic_version" not in tables:
        if tables:
            raise StoreError(
                f"store {location}: this database belongs to another program. "
                "Choose another place with --store."
            )
        return None
    revision = connection.execute(text("SELECT version_num FROM alembic_version")).scalar()
    if revision is not None and revision not in REVISIONS:
        raise StoreError(
            f"store {location}: it was made by a newer plugsight (store version {revision}, this one reads up to "
            f"{REVISIONS[-1]}). Update plugsight, or choose another store with --store."
        )
    return None if revision is None else str(revision)
