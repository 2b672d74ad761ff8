"""The presenter's music, one track a routine."""

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "track",
        sa.Column("routine_id", sa.String(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("media_type", sa.String(), nullable=False),
        sa.Column("size", sa.BigInteger(), nullable=False),
        sa.ForeignKeyConstraint(
            ["routine_id"], ["routine.id"], name=op.f("fk_track_routine_id_routine")
        ),
        sa.PrimaryKeyConstraint("routine_id", name=op.f("pk_track")),
    )


def downgrade() -> None:
    op.drop_table("track")
