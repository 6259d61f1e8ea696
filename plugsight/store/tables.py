"""The tables, in types that SQLite and PostgreSQL share.

How to change them: write a new file in ``alembic/versions`` that turns the last revision into the next, add its name
to ``migrate.REVISIONS``, change this file to match (a test compares the two), and never edit a released revision.
"""

from sqlalchemy import (
    Boolean,
    CheckConstraint,
    Column,
    ForeignKey,
    Index,
    Integer,
    MetaData,
    String,
    Table,
    Text,
    UniqueConstraint,
    text,
)

TIME = String(32)
DIGEST = String(64)

metadata = MetaData()

engine = Table(
    "engine",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("name", String(200), nullable=False, unique=True),
)

inspection = Table(
    "inspection",
    metadata,
    Column("id", String(32), primary_key=True),
    Column("engine_id", ForeignKey("engine.id"), nullable=False),
    Column("facts_json", Text, nullable=False),
    Column("invented", Boolean, nullable=False),
    Column("version", Integer, nullable=False),
    Column("started", TIME, nullable=False),
    Column("updated", TIME, nullable=False),
    Column("open_outcome", Boolean, nullable=False),
    CheckConstraint("version >= 1", name="version_counts_from_one"),
    # Lists are newest first; history is one engine's; open outcomes are asked for by themselves.
    Index("inspection_by_update", "updated", "id"),
    Index("inspection_by_engine", "engine_id", "updated", "started"),
    Index("inspection_by_outcome", "open_outcome", "updated"),
)

photo = Table(
    "photo",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("inspection_id", ForeignKey("inspection.id"), nullable=False),
    Column("cylinder", Integer, nullable=False),
    Column("position", String(40), nullable=False),
    Column("name", String(255), nullable=False),
    Column("digest", DIGEST, nullable=False),
    Column("blob", DIGEST, nullable=False),
    Column("look_json", Text, nullable=False),
    Column("overlay", DIGEST),
    Column("canonical", DIGEST),
    Column("added", TIME, nullable=False),
    Column("removed", Boolean, nullable=False),
    Index("photo_by_inspection", "inspection_id", "removed"),
    # One photo shows one plug: a second row with the same picture is refused by the database itself.
    Index(
        "photo_once",
        "inspection_id",
        "digest",
        unique=True,
        sqlite_where=text("removed = 0"),
        postgresql_where=text("removed = false"),
    ),
)

entry = Table(
    "entry",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("inspection_id", ForeignKey("inspection.id"), nullable=False),
    Column("kind", String(20), nullable=False),
    # 0 stands for the whole engine: a unique constraint treats two NULLs as different.
    Column("cylinder", Integer, nullable=False),
    Column("position", String(40), nullable=False),
    Column("number", Integer, nullable=False),
    Column("replaces", Integer),
    Column("body_json", Text, nullable=False),
    Column("at", TIME, nullable=False),
    Column("withdrawn_at", TIME),
    UniqueConstraint("inspection_id", "kind", "cylinder", "position", "number", name="entry_numbered"),
)
