"""Runs say where and how they were made; routines have a goal."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    with op.batch_alter_table("run", schema=None) as batch_op:
        batch_op.add_column(sa.Column("occasion", sa.Text(), nullable=True))
    with op.batch_alter_table("routine", schema=None) as batch_op:
        batch_op.add_column(sa.Column("goal", sa.Text(), nullable=True))


def downgrade() -> None:
    with op.batch_alter_table("routine", schema=None) as batch_op:
        batch_op.drop_column("goal")
    with op.batch_alter_table("run", schema=None) as batch_op:
        batch_op.drop_column("occasion")
