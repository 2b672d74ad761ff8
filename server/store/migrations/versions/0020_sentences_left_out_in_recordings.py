"""Marks of learning that a recording told, with the run that it became."""

import sqlalchemy as sa
from alembic import op

revision = "0020"
down_revision = "0014"
branch_labels = None
depends_on = None


def upgrade() -> None:
    with op.batch_alter_table("learning_mark") as batch:
        batch.add_column(sa.Column("run_id", sa.String(), nullable=True))
        batch.create_index(op.f("ix_learning_mark_run_id"), ["run_id"])


def downgrade() -> None:
    with op.batch_alter_table("learning_mark") as batch:
        batch.drop_index(op.f("ix_learning_mark_run_id"))
        batch.drop_column("run_id")
