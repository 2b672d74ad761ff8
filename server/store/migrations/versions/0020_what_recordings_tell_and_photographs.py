"""Marks of learning that a recording told, with its run; onsets; photographs."""

import sqlalchemy as sa
from alembic import op

revision = "0020"
down_revision = "0019"
branch_labels = None
depends_on = None


def upgrade() -> None:
    with op.batch_alter_table("learning_mark") as batch:
        batch.add_column(sa.Column("run_id", sa.String(), nullable=True))
        batch.create_index(op.f("ix_learning_mark_run_id"), ["run_id"])
    with op.batch_alter_table("take") as batch:
        batch.add_column(sa.Column("onsets", sa.Text(), nullable=True))
    op.create_table(
        "photograph",
        sa.Column("routine_id", sa.String(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("media_type", sa.String(), nullable=False),
        sa.Column("under_percent", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["routine_id"], ["routine.id"], name=op.f("fk_photograph_routine_id_routine")
        ),
        sa.PrimaryKeyConstraint("routine_id", name=op.f("pk_photograph")),
    )


def downgrade() -> None:
    op.drop_table("photograph")
    with op.batch_alter_table("take") as batch:
        batch.drop_column("onsets")
    with op.batch_alter_table("learning_mark") as batch:
        batch.drop_index(op.f("ix_learning_mark_run_id"))
        batch.drop_column("run_id")
