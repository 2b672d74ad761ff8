"""The first tables."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:

    op.create_table(
        "plan",
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("key", name=op.f("pk_plan")),
    )
    op.create_table(
        "routine",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("head", sa.Integer(), nullable=False),
        sa.Column("change", sa.Integer(), nullable=False),
        sa.Column("deleted_ms", sa.BigInteger(), nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_routine")),
    )
    with op.batch_alter_table("routine", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_routine_position"), ["position"], unique=False)

    op.create_table(
        "rule_sheet",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("deleted_ms", sa.BigInteger(), nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_rule_sheet")),
    )
    op.create_table(
        "revision",
        sa.Column("routine_id", sa.String(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("label", sa.String(), nullable=False),
        sa.Column("saved_ms", sa.BigInteger(), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["routine_id"], ["routine.id"], name=op.f("fk_revision_routine_id_routine")
        ),
        sa.PrimaryKeyConstraint("routine_id", "number", name=op.f("pk_revision")),
    )
    op.create_table(
        "run",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("routine_id", sa.String(), nullable=False),
        sa.Column("plan_key", sa.String(), nullable=False),
        sa.Column("created_ms", sa.BigInteger(), nullable=False),
        sa.Column("source", sa.String(), nullable=False),
        sa.Column("label", sa.String(), nullable=False),
        sa.Column("notes", sa.Text(), nullable=False),
        sa.Column("excluded", sa.Boolean(), nullable=False),
        sa.Column("deleted_ms", sa.BigInteger(), nullable=True),
        sa.Column("status", sa.String(), nullable=False),
        sa.Column("started_ms", sa.BigInteger(), nullable=True),
        sa.Column("total_ms", sa.BigInteger(), nullable=True),
        sa.Column("summary", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["plan_key"], ["plan.key"], name=op.f("fk_run_plan_key_plan")),
        sa.ForeignKeyConstraint(
            ["routine_id"], ["routine.id"], name=op.f("fk_run_routine_id_routine")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_run")),
    )
    with op.batch_alter_table("run", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_run_routine_id"), ["routine_id"], unique=False)

    op.create_table(
        "event",
        sa.Column("rev", sa.Integer(), nullable=False),
        sa.Column("run_id", sa.String(), nullable=False),
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("received_ms", sa.BigInteger(), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["run_id"], ["run.id"], name=op.f("fk_event_run_id_run")),
        sa.PrimaryKeyConstraint("rev", name=op.f("pk_event")),
        sa.UniqueConstraint("run_id", "id", name=op.f("uq_event_run_id")),
    )


def downgrade() -> None:

    op.drop_table("event")
    with op.batch_alter_table("run", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_run_routine_id"))

    op.drop_table("run")
    op.drop_table("revision")
    op.drop_table("rule_sheet")
    with op.batch_alter_table("routine", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_routine_position"))

    op.drop_table("routine")
    op.drop_table("plan")
