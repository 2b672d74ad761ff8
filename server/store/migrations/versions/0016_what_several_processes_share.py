"""Wrong tries, the code for a device and printed links, shared by processes; leases of jobs."""

import sqlalchemy as sa
from alembic import op

revision = "0016"
down_revision = "0014"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "wrong_tries",
        sa.Column("side", sa.String(), nullable=False),
        sa.Column("spent", sa.Float(), nullable=False),
        sa.Column("since_ms", sa.BigInteger(), nullable=False),
        sa.Column("turn_ms", sa.BigInteger(), nullable=False),
        sa.PrimaryKeyConstraint("side", name=op.f("pk_wrong_tries")),
    )
    op.create_index(op.f("ix_wrong_tries_since_ms"), "wrong_tries", ["since_ms"])
    op.create_table(
        "device_code",
        sa.Column("code", sa.String(), nullable=False),
        sa.Column("role", sa.String(), nullable=False),
        sa.Column("expires_ms", sa.BigInteger(), nullable=False),
        sa.PrimaryKeyConstraint("code", name=op.f("pk_device_code")),
    )
    op.create_table(
        "printed_link",
        sa.Column("secret_hash", sa.String(), nullable=False),
        sa.Column("until_ms", sa.BigInteger(), nullable=False),
        sa.PrimaryKeyConstraint("secret_hash", name=op.f("pk_printed_link")),
    )
    with op.batch_alter_table("take") as batch:
        batch.add_column(
            sa.Column("job_by", sa.String(), server_default=sa.text("''"), nullable=False)
        )
        batch.add_column(
            sa.Column("job_until_ms", sa.BigInteger(), server_default=sa.text("0"), nullable=False)
        )


def downgrade() -> None:
    with op.batch_alter_table("take") as batch:
        batch.drop_column("job_until_ms")
        batch.drop_column("job_by")
    op.drop_table("printed_link")
    op.drop_table("device_code")
    op.drop_index(op.f("ix_wrong_tries_since_ms"), "wrong_tries")
    op.drop_table("wrong_tries")
