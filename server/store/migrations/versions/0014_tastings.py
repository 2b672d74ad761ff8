"""Tastings, and who tastes.

Whoever joins by the code of a tasting is one row, however often the same phone joins.
"""

import sqlalchemy as sa
from alembic import op

revision = "0014"
down_revision = "0013"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "sitting",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("routine_id", sa.String(), nullable=False),
        sa.Column("made_ms", sa.BigInteger(), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.Column("code", sa.String(), nullable=False),
        sa.Column("code_expires_ms", sa.BigInteger(), nullable=False),
        sa.Column("deleted_ms", sa.BigInteger(), nullable=True),
        sa.ForeignKeyConstraint(
            ["routine_id"], ["routine.id"], name=op.f("fk_sitting_routine_id_routine")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_sitting")),
    )
    op.create_index(op.f("ix_sitting_routine_id"), "sitting", ["routine_id"])
    op.create_table(
        "taster",
        sa.Column("sitting_id", sa.String(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("token_hash", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("joined_ms", sa.BigInteger(), nullable=False),
        sa.Column("joins", sa.Integer(), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.Column("count", sa.Integer(), nullable=False),
        sa.Column("answer", sa.Text(), nullable=False),
        sa.Column("answered_ms", sa.BigInteger(), nullable=True),
        sa.Column("apart", sa.Boolean(), nullable=False),
        sa.ForeignKeyConstraint(
            ["sitting_id"], ["sitting.id"], name=op.f("fk_taster_sitting_id_sitting")
        ),
        sa.PrimaryKeyConstraint("sitting_id", "key", name=op.f("pk_taster")),
    )
    op.create_index(op.f("ix_taster_token_hash"), "taster", ["token_hash"])


def downgrade() -> None:
    op.drop_index(op.f("ix_taster_token_hash"), table_name="taster")
    op.drop_table("taster")
    op.drop_index(op.f("ix_sitting_routine_id"), table_name="sitting")
    op.drop_table("sitting")
