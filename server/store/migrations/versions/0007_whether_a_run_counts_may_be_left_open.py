"""Whether a run counts may be left open, and what speaks against it is kept."""

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None


def upgrade() -> None:
    with op.batch_alter_table("run") as batch_op:
        batch_op.alter_column("excluded", existing_type=sa.Boolean(), nullable=True)
        batch_op.add_column(
            sa.Column("doubt", sa.String(), server_default=sa.text("''"), nullable=False)
        )
    # Nobody was asked so far: a box that was not ticked says nothing. Who wrote a run down by hand
    # meant it.
    op.execute("UPDATE run SET excluded = NULL WHERE NOT excluded AND source <> 'paper'")


def downgrade() -> None:
    op.execute("UPDATE run SET excluded = (1 = 0) WHERE excluded IS NULL")
    with op.batch_alter_table("run") as batch_op:
        batch_op.drop_column("doubt")
        batch_op.alter_column("excluded", existing_type=sa.Boolean(), nullable=False)
