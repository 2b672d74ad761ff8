"""Indexes with which thousands of routines and their runs are as quick to ask as one."""

from alembic import op

revision = "0019"
down_revision = "0018"
branch_labels = None
depends_on = None

INDEXES = (
    ("event", ("run_id", "rev")),
    ("routine", ("deleted_ms",)),
    ("run", ("deleted_ms",)),
    ("recording", ("deleted_ms",)),
    ("sitting", ("deleted_ms",)),
    ("take", ("deleted_ms",)),
    ("revision", ("saved_ms",)),
)


def upgrade() -> None:
    for table, columns in INDEXES:
        op.create_index(op.f(f"ix_{table}_{'_'.join(columns)}"), table, list(columns))


def downgrade() -> None:
    for table, columns in reversed(INDEXES):
        op.drop_index(op.f(f"ix_{table}_{'_'.join(columns)}"), table_name=table)
