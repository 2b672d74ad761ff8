"""How sentences went when they were said by heart, and the minutes a day for it."""

import sqlalchemy as sa
from alembic import op

revision = "0014"
down_revision = "0011"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "learning_mark",
        sa.Column("routine_id", sa.String(), nullable=False),
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("said_ms", sa.BigInteger(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("how", sa.String(), nullable=False),
        sa.Column("step", sa.Integer(), nullable=False),
        sa.Column("undone", sa.Boolean(), nullable=False),
        sa.ForeignKeyConstraint(
            ["routine_id"], ["routine.id"], name=op.f("fk_learning_mark_routine_id_routine")
        ),
        sa.PrimaryKeyConstraint("routine_id", "id", name=op.f("pk_learning_mark")),
    )
    op.create_table(
        "learning_aim",
        sa.Column("routine_id", sa.String(), nullable=False),
        sa.Column("minutes", sa.Integer(), nullable=False),
        sa.Column("day", sa.String(), server_default=sa.text("''"), nullable=False),
        sa.ForeignKeyConstraint(
            ["routine_id"], ["routine.id"], name=op.f("fk_learning_aim_routine_id_routine")
        ),
        sa.PrimaryKeyConstraint("routine_id", name=op.f("pk_learning_aim")),
    )


def downgrade() -> None:
    op.drop_table("learning_aim")
    op.drop_table("learning_mark")
