"""What a second listening thinks of the claims of a take that were not heard."""

import sqlalchemy as sa
from alembic import op

revision = "0021"
down_revision = "0020"
branch_labels = None
depends_on = None


def upgrade() -> None:
    with op.batch_alter_table("take") as batch:
        batch.add_column(sa.Column("again", sa.Text(), nullable=True))
        batch.add_column(
            sa.Column("job_what", sa.String(), server_default=sa.text("''"), nullable=False)
        )


def downgrade() -> None:
    with op.batch_alter_table("take") as batch:
        batch.drop_column("job_what")
        batch.drop_column("again")
