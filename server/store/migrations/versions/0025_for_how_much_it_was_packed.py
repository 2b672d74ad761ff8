"""For how much a thing was packed: more may be needed later. Older ticks do not know it."""

import sqlalchemy as sa
from alembic import op

revision = "0025"
down_revision = "0024"
branch_labels = None
depends_on = None


def upgrade() -> None:
    with op.batch_alter_table("packed") as batch:
        batch.add_column(sa.Column("packed_for", sa.String(), nullable=True))


def downgrade() -> None:
    with op.batch_alter_table("packed") as batch:
        batch.drop_column("packed_for")
