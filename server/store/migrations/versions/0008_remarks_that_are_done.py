"""Remarks that the presenter called done."""

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "settled_remark",
        sa.Column("run_id", sa.String(), nullable=False),
        sa.Column("remark_id", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["run_id"], ["run.id"], name=op.f("fk_settled_remark_run_id_run")),
        sa.PrimaryKeyConstraint("run_id", "remark_id", name=op.f("pk_settled_remark")),
    )


def downgrade() -> None:
    op.drop_table("settled_remark")
