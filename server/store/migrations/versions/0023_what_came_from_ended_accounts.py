"""What came to somebody from an ended account; marks are counted in 64 bits."""

import sqlalchemy as sa
from alembic import op

revision = "0023"
down_revision = "0022"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "inherited",
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("thing_id", sa.String(), nullable=False),
        sa.Column("from_id", sa.String(), nullable=False),
        sa.Column("heir_id", sa.String(), nullable=False),
        sa.Column("since_ms", sa.BigInteger(), nullable=False),
        sa.ForeignKeyConstraint(
            ["from_id"], ["person.id"], name=op.f("fk_inherited_from_id_person")
        ),
        sa.ForeignKeyConstraint(
            ["heir_id"], ["person.id"], name=op.f("fk_inherited_heir_id_person")
        ),
        sa.PrimaryKeyConstraint("kind", "thing_id", "from_id", name=op.f("pk_inherited")),
    )
    op.create_index(op.f("ix_inherited_heir_id"), "inherited", ["heir_id"])
    _count_marks_as("BIGINT", sa.BigInteger())


def downgrade() -> None:
    _count_marks_as("INTEGER", sa.Integer())
    op.drop_index(op.f("ix_inherited_heir_id"), "inherited")
    op.drop_table("inherited")


def _count_marks_as(name: str, kind: sa.types.TypeEngine[int]) -> None:
    # SQLite's INTEGER has 64 bits as it is: to write a long table anew for nothing would take long.
    if op.get_bind().dialect.name == "postgresql":
        op.alter_column("event", "rev", type_=kind, existing_nullable=False)
        op.execute(f"ALTER SEQUENCE event_rev_seq AS {name}")
