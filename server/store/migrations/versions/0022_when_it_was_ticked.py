"""When a thing was ticked: what was said later counts, in whatever order it arrives."""

import sqlalchemy as sa
from alembic import op

revision = "0022"
down_revision = "0021"
branch_labels = None
depends_on = None


def upgrade() -> None:
    with op.batch_alter_table("packed") as batch:
        batch.add_column(sa.Column("said_ms", sa.BigInteger(), nullable=True))


def downgrade() -> None:
    with op.batch_alter_table("packed") as batch:
        batch.drop_column("said_ms")
