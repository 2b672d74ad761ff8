"""What is packed, for practice at home and for the event."""

import sqlalchemy as sa
from alembic import op

revision = "0011"
down_revision = "0010"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "packed",
        sa.Column("routine_id", sa.String(), nullable=False),
        sa.Column("occasion", sa.String(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("packed", sa.Boolean(), nullable=False),
        sa.Column("before", sa.Boolean(), nullable=False),
        sa.ForeignKeyConstraint(
            ["routine_id"], ["routine.id"], name=op.f("fk_packed_routine_id_routine")
        ),
        sa.PrimaryKeyConstraint("routine_id", "occasion", "key", name=op.f("pk_packed")),
    )


def downgrade() -> None:
    op.drop_table("packed")
