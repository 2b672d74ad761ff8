"""Codes to join a run, and who watches."""

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "join_code",
        sa.Column("run_id", sa.String(), nullable=False),
        sa.Column("code", sa.String(), nullable=False),
        sa.Column("expires_ms", sa.BigInteger(), nullable=False),
        sa.ForeignKeyConstraint(["run_id"], ["run.id"], name=op.f("fk_join_code_run_id_run")),
        sa.PrimaryKeyConstraint("run_id", name=op.f("pk_join_code")),
    )
    op.create_table(
        "watcher",
        sa.Column("token_hash", sa.String(), nullable=False),
        sa.Column("run_id", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("joined_ms", sa.BigInteger(), nullable=False),
        sa.Column("expires_ms", sa.BigInteger(), nullable=False),
        sa.ForeignKeyConstraint(["run_id"], ["run.id"], name=op.f("fk_watcher_run_id_run")),
        sa.PrimaryKeyConstraint("token_hash", name=op.f("pk_watcher")),
    )
    with op.batch_alter_table("watcher") as batch_op:
        batch_op.create_index(batch_op.f("ix_watcher_run_id"), ["run_id"], unique=False)


def downgrade() -> None:
    with op.batch_alter_table("watcher") as batch_op:
        batch_op.drop_index(batch_op.f("ix_watcher_run_id"))
    op.drop_table("watcher")
    op.drop_table("join_code")
