"""Takes: sound and words from which a run can be made."""

import sqlalchemy as sa
from alembic import op

revision = "0012"
down_revision = "0011"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "take",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("routine_id", sa.String(), nullable=False),
        sa.Column("plan_key", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("created_ms", sa.BigInteger(), nullable=False),
        sa.Column("started_ms", sa.BigInteger(), nullable=True),
        sa.Column("recording_id", sa.String(), nullable=True),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("media_type", sa.String(), nullable=False),
        sa.Column("file", sa.String(), nullable=False),
        sa.Column("lasts_ms", sa.BigInteger(), nullable=False),
        sa.Column("size_bytes", sa.BigInteger(), nullable=False),
        sa.Column("received_bytes", sa.BigInteger(), nullable=False),
        sa.Column("received_parts", sa.Integer(), nullable=False),
        sa.Column("done", sa.Boolean(), nullable=False),
        sa.Column("words", sa.Text(), nullable=True),
        sa.Column("words_from", sa.String(), nullable=False),
        sa.Column("decided", sa.Text(), nullable=False),
        sa.Column("job", sa.String(), nullable=False),
        sa.Column("job_share", sa.Integer(), nullable=False),
        sa.Column("job_says", sa.String(), nullable=False),
        sa.Column("beside_run_id", sa.String(), nullable=True),
        sa.Column("run_id", sa.String(), nullable=True),
        sa.Column("deleted_ms", sa.BigInteger(), nullable=True),
        sa.ForeignKeyConstraint(
            ["routine_id"], ["routine.id"], name=op.f("fk_take_routine_id_routine")
        ),
        sa.ForeignKeyConstraint(["plan_key"], ["plan.key"], name=op.f("fk_take_plan_key_plan")),
        sa.ForeignKeyConstraint(
            ["recording_id"], ["recording.id"], name=op.f("fk_take_recording_id_recording")
        ),
        sa.ForeignKeyConstraint(
            ["beside_run_id"], ["run.id"], name=op.f("fk_take_beside_run_id_run")
        ),
        sa.ForeignKeyConstraint(["run_id"], ["run.id"], name=op.f("fk_take_run_id_run")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_take")),
    )
    with op.batch_alter_table("take", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_take_routine_id"), ["routine_id"], unique=False)


def downgrade() -> None:
    with op.batch_alter_table("take", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_take_routine_id"))

    op.drop_table("take")
