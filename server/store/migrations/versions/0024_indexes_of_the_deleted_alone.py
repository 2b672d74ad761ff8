"""Indexes that hold what was deleted alone, no way to what is there; and ways to a run's takes."""

import sqlalchemy as sa
from alembic import op

revision = "0024"
down_revision = "0023"
branch_labels = None
depends_on = None

TABLES = ("routine", "run", "recording", "sitting", "take")
OF_TAKES = ("recording_id", "run_id")


def upgrade() -> None:
    deleted = sa.text("deleted_ms IS NOT NULL")
    for table in TABLES:
        name = op.f(f"ix_{table}_deleted_ms")
        op.drop_index(name, table_name=table)
        op.create_index(name, table, ["deleted_ms"], sqlite_where=deleted, postgresql_where=deleted)
    for column in OF_TAKES:
        op.create_index(op.f(f"ix_take_{column}"), "take", [column])


def downgrade() -> None:
    for column in reversed(OF_TAKES):
        op.drop_index(op.f(f"ix_take_{column}"), table_name="take")
    for table in TABLES:
        name = op.f(f"ix_{table}_deleted_ms")
        op.drop_index(name, table_name=table)
        op.create_index(name, table, ["deleted_ms"])
