"""Devices that are let in, whose a name in a log is, and passes that end when one joins again."""

import sqlalchemy as sa
from alembic import op

revision = "0010"
down_revision = "0009"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "device",
        sa.Column("token_hash", sa.String(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("role", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("let_in_ms", sa.BigInteger(), nullable=False),
        sa.Column("used_ms", sa.BigInteger(), nullable=False),
        sa.Column("taken_ms", sa.BigInteger(), nullable=True),
        sa.PrimaryKeyConstraint("token_hash", name=op.f("pk_device")),
    )
    with op.batch_alter_table("device") as batch_op:
        batch_op.create_index(batch_op.f("ix_device_key"), ["key"], unique=False)
    op.create_table(
        "invitation",
        sa.Column("secret_hash", sa.String(), nullable=False),
        sa.Column("role", sa.String(), nullable=False),
        sa.Column("expires_ms", sa.BigInteger(), nullable=False),
        sa.PrimaryKeyConstraint("secret_hash", name=op.f("pk_invitation")),
    )
    op.create_table(
        "log_device",
        sa.Column("run_id", sa.String(), nullable=False),
        sa.Column("device_id", sa.String(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("run_id", "device_id", name=op.f("pk_log_device")),
    )
    with op.batch_alter_table("watcher") as batch_op:
        batch_op.add_column(
            sa.Column("key", sa.String(), server_default=sa.text("''"), nullable=False)
        )
        batch_op.add_column(sa.Column("ended_ms", sa.BigInteger(), nullable=True))
    op.execute("UPDATE watcher SET key = token_hash")


def downgrade() -> None:
    with op.batch_alter_table("watcher") as batch_op:
        batch_op.drop_column("ended_ms")
        batch_op.drop_column("key")
    op.drop_table("log_device")
    op.drop_table("invitation")
    with op.batch_alter_table("device") as batch_op:
        batch_op.drop_index(batch_op.f("ix_device_key"))
    op.drop_table("device")
