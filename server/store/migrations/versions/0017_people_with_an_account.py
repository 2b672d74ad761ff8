"""People with an account, how they sign in, and where they are signed in."""

import sqlalchemy as sa
from alembic import op

revision = "0017"
down_revision = "0016"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "challenge",
        sa.Column("key_hash", sa.String(), nullable=False),
        sa.Column("purpose", sa.String(), nullable=False),
        sa.Column("document", sa.Text(), nullable=False),
        sa.Column("expires_ms", sa.BigInteger(), nullable=False),
        sa.PrimaryKeyConstraint("key_hash", name=op.f("pk_challenge")),
    )
    op.create_table(
        "person",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("sign_in", sa.String(), nullable=False),
        sa.Column("sign_in_key", sa.String(), nullable=False),
        sa.Column("is_admin", sa.Boolean(), nullable=False),
        sa.Column("password", sa.String(), nullable=True),
        sa.Column("made_ms", sa.BigInteger(), nullable=False),
        sa.Column("ended_ms", sa.BigInteger(), nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_person")),
        sa.UniqueConstraint("sign_in_key", name=op.f("uq_person_sign_in_key")),
    )
    op.create_table(
        "identity",
        sa.Column("issuer", sa.String(), nullable=False),
        sa.Column("subject", sa.String(), nullable=False),
        sa.Column("person_id", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(
            ["person_id"], ["person.id"], name=op.f("fk_identity_person_id_person")
        ),
        sa.PrimaryKeyConstraint("issuer", "subject", name=op.f("pk_identity")),
    )
    with op.batch_alter_table("identity") as batch_op:
        batch_op.create_index(batch_op.f("ix_identity_person_id"), ["person_id"])

    op.create_table(
        "passkey",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("person_id", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("public_key", sa.String(), nullable=False),
        sa.Column("signs", sa.BigInteger(), nullable=False),
        sa.Column("made_ms", sa.BigInteger(), nullable=False),
        sa.Column("used_ms", sa.BigInteger(), nullable=True),
        sa.ForeignKeyConstraint(
            ["person_id"], ["person.id"], name=op.f("fk_passkey_person_id_person")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_passkey")),
    )
    with op.batch_alter_table("passkey") as batch_op:
        batch_op.create_index(batch_op.f("ix_passkey_person_id"), ["person_id"])

    op.create_table(
        "password_reset",
        sa.Column("secret_hash", sa.String(), nullable=False),
        sa.Column("person_id", sa.String(), nullable=False),
        sa.Column("made_by", sa.String(), nullable=True),
        sa.Column("expires_ms", sa.BigInteger(), nullable=False),
        sa.ForeignKeyConstraint(
            ["made_by"], ["person.id"], name=op.f("fk_password_reset_made_by_person")
        ),
        sa.ForeignKeyConstraint(
            ["person_id"], ["person.id"], name=op.f("fk_password_reset_person_id_person")
        ),
        sa.PrimaryKeyConstraint("secret_hash", name=op.f("pk_password_reset")),
    )
    op.create_table(
        "person_invitation",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("secret_hash", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("invited_by", sa.String(), nullable=False),
        sa.Column("document", sa.Text(), nullable=True),
        sa.Column("made_ms", sa.BigInteger(), nullable=False),
        sa.Column("expires_ms", sa.BigInteger(), nullable=False),
        sa.Column("taken_by", sa.String(), nullable=True),
        sa.Column("withdrawn_ms", sa.BigInteger(), nullable=True),
        sa.ForeignKeyConstraint(
            ["invited_by"], ["person.id"], name=op.f("fk_person_invitation_invited_by_person")
        ),
        sa.ForeignKeyConstraint(
            ["taken_by"], ["person.id"], name=op.f("fk_person_invitation_taken_by_person")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_person_invitation")),
    )
    with op.batch_alter_table("person_invitation") as batch_op:
        batch_op.create_index(batch_op.f("ix_person_invitation_secret_hash"), ["secret_hash"])

    op.create_table(
        "recovery_code",
        sa.Column("person_id", sa.String(), nullable=False),
        sa.Column("code_hash", sa.String(), nullable=False),
        sa.Column("used_ms", sa.BigInteger(), nullable=True),
        sa.ForeignKeyConstraint(
            ["person_id"], ["person.id"], name=op.f("fk_recovery_code_person_id_person")
        ),
        sa.PrimaryKeyConstraint("person_id", "code_hash", name=op.f("pk_recovery_code")),
    )
    op.create_table(
        "sign_in",
        sa.Column("device_key", sa.String(), nullable=False),
        sa.Column("person_id", sa.String(), nullable=False),
        sa.Column("signed_in_ms", sa.BigInteger(), nullable=False),
        sa.ForeignKeyConstraint(
            ["person_id"], ["person.id"], name=op.f("fk_sign_in_person_id_person")
        ),
        sa.PrimaryKeyConstraint("device_key", name=op.f("pk_sign_in")),
    )
    with op.batch_alter_table("sign_in") as batch_op:
        batch_op.create_index(batch_op.f("ix_sign_in_person_id"), ["person_id"])


def downgrade() -> None:
    with op.batch_alter_table("sign_in") as batch_op:
        batch_op.drop_index(batch_op.f("ix_sign_in_person_id"))

    op.drop_table("sign_in")
    op.drop_table("recovery_code")
    with op.batch_alter_table("person_invitation") as batch_op:
        batch_op.drop_index(batch_op.f("ix_person_invitation_secret_hash"))

    op.drop_table("person_invitation")
    op.drop_table("password_reset")
    with op.batch_alter_table("passkey") as batch_op:
        batch_op.drop_index(batch_op.f("ix_passkey_person_id"))

    op.drop_table("passkey")
    with op.batch_alter_table("identity") as batch_op:
        batch_op.drop_index(batch_op.f("ix_identity_person_id"))

    op.drop_table("identity")
    op.drop_table("person")
    op.drop_table("challenge")
