# ruff: noqa: INP001 - a folder of scripts, not a package
"""Alembic's entry: runs on the connection (and inside the transaction) that ``store.migrate`` hands over."""

from alembic import context

from plugsight.store.tables import metadata

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=metadata,
    # SQLite can roll back table changes too: a migration that is cut off leaves the old store.
    transactional_ddl=True,
)
with context.begin_transaction():
    context.run_migrations()
