"""Who stands how to which routine, teams, and whose rule sheets are."""

import sqlalchemy as sa
from alembic import op

revision = "0018"
down_revision = "0017"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "share",
        sa.Column("routine_id", sa.String(), nullable=False),
        sa.Column("person_id", sa.String(), nullable=False),
        sa.Column("standing", sa.String(), nullable=False),
        sa.Column("hears", sa.Boolean(), nullable=False),
        sa.Column("since_ms", sa.BigInteger(), nullable=False),
        sa.ForeignKeyConstraint(
            ["routine_id"], ["routine.id"], name=op.f("fk_share_routine_id_routine")
        ),
        sa.ForeignKeyConstraint(
            ["person_id"], ["person.id"], name=op.f("fk_share_person_id_person")
        ),
        sa.PrimaryKeyConstraint("routine_id", "person_id", name=op.f("pk_share")),
    )
    op.create_index(op.f("ix_share_person_id"), "share", ["person_id"])
    op.create_table(
        "team",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("made_ms", sa.BigInteger(), nullable=False),
        sa.Column("dissolved_ms", sa.BigInteger(), nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_team")),
    )
    op.create_table(
        "team_member",
        sa.Column("team_id", sa.String(), nullable=False),
        sa.Column("person_id", sa.String(), nullable=False),
        sa.Column("leads", sa.Boolean(), nullable=False),
        sa.ForeignKeyConstraint(["team_id"], ["team.id"], name=op.f("fk_team_member_team_id_team")),
        sa.ForeignKeyConstraint(
            ["person_id"], ["person.id"], name=op.f("fk_team_member_person_id_person")
        ),
        sa.PrimaryKeyConstraint("team_id", "person_id", name=op.f("pk_team_member")),
    )
    op.create_index(op.f("ix_team_member_person_id"), "team_member", ["person_id"])
    op.create_table(
        "team_routine",
        sa.Column("routine_id", sa.String(), nullable=False),
        sa.Column("team_id", sa.String(), nullable=False),
        sa.Column("standing", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(
            ["routine_id"], ["routine.id"], name=op.f("fk_team_routine_routine_id_routine")
        ),
        sa.ForeignKeyConstraint(
            ["team_id"], ["team.id"], name=op.f("fk_team_routine_team_id_team")
        ),
        sa.PrimaryKeyConstraint("routine_id", name=op.f("pk_team_routine")),
    )
    op.create_index(op.f("ix_team_routine_team_id"), "team_routine", ["team_id"])
    op.create_table(
        "sheet_holder",
        sa.Column("sheet_id", sa.String(), nullable=False),
        sa.Column("person_id", sa.String(), nullable=True),
        sa.Column("team_id", sa.String(), nullable=True),
        sa.ForeignKeyConstraint(
            ["sheet_id"], ["rule_sheet.id"], name=op.f("fk_sheet_holder_sheet_id_rule_sheet")
        ),
        sa.ForeignKeyConstraint(
            ["person_id"], ["person.id"], name=op.f("fk_sheet_holder_person_id_person")
        ),
        sa.ForeignKeyConstraint(
            ["team_id"], ["team.id"], name=op.f("fk_sheet_holder_team_id_team")
        ),
        sa.PrimaryKeyConstraint("sheet_id", name=op.f("pk_sheet_holder")),
    )
    op.create_index(op.f("ix_sheet_holder_person_id"), "sheet_holder", ["person_id"])
    op.create_index(op.f("ix_sheet_holder_team_id"), "sheet_holder", ["team_id"])


def downgrade() -> None:
    for table in ("sheet_holder", "team_routine", "team_member", "team", "share"):
        op.drop_table(table)
