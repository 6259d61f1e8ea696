"""First tables: engines, inspections, photos, append-only entries."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None


def upgrade() -> None:
    op.create_table(
        "engine",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("name", sa.String(200), nullable=False, unique=True),
    )
    op.create_table(
        "inspection",
        sa.Column("id", sa.String(32), primary_key=True),
        sa.Column("engine_id", sa.Integer, sa.ForeignKey("engine.id"), nullable=False),
        sa.Column("facts_json", sa.Text, nullable=False),
        sa.Column("invented", sa.Boolean, nullable=False),
        sa.Column("version", sa.Integer, nullable=False),
        sa.Column("started", sa.String(32), nullable=False),
        sa.Column("updated", sa.String(32), nullable=False),
        sa.Column("open_outcome", sa.Boolean, nullable=False),
        sa.CheckConstraint("version >= 1", name="version_counts_from_one"),
    )
    op.create_index("inspection_by_update", "inspection", ["updated", "id"])
    op.create_index("inspection_by_engine", "inspection", ["engine_id", "updated", "started"])
    op.create_index("inspection_by_outcome", "inspection", ["open_outcome", "updated"])
    op.create_table(
        "photo",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("inspection_id", sa.String(32), sa.ForeignKey("inspection.id"), nullable=False),
        sa.Column("cylinder", sa.Integer, nullable=False),
        sa.Column("position", sa.String(40), nullable=False),
        sa.Column("name", sa.String(255), nullable=False),
        sa.Column("digest", sa.String(64), nullable=False),
        sa.Column("blob", sa.String(64), nullable=False),
        sa.Column("look_json", sa.Text, nullable=False),
        sa.Column("overlay", sa.String(64)),
        sa.Column("canonical", sa.String(64)),
        sa.Column("added", sa.String(32), nullable=False),
        sa.Column("removed", sa.Boolean, nullable=False),
    )
    op.create_index("photo_by_inspection", "photo", ["inspection_id", "removed"])
    op.create_index(
        "photo_once",
        "photo",
        ["inspection_id", "digest"],
        unique=True,
        sqlite_where=sa.text("removed = 0"),
        postgresql_where=sa.text("removed = false"),
    )
    op.create_table(
        "entry",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("inspection_id", sa.String(32), sa.ForeignKey("inspection.id"), nullable=False),
        sa.Column("kind", sa.String(20), nullable=False),
        sa.Column("cylinder", sa.Integer, nullable=False),
        sa.Column("position", sa.String(40), nullable=False),
        sa.Column("number", sa.Integer, nullable=False),
        sa.Column("replaces", sa.Integer),
        sa.Column("body_json", sa.Text, nullable=False),
        sa.Column("at", sa.String(32), nullable=False),
        sa.Column("withdrawn_at", sa.String(32)),
        sa.UniqueConstraint("inspection_id", "kind", "cylinder", "position", "number", name="entry_numbered"),
    )


def downgrade() -> None:
    for table in ("entry", "photo", "inspection", "engine"):
        op.drop_table(table)
