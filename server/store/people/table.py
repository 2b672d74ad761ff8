"""The tables of people. Of every secret only a hash is kept."""

from sqlalchemy import BigInteger, Text
from sqlmodel import Field, SQLModel

from server.store import tables  # noqa: F401  (names constraints)


class PersonRow(SQLModel, table=True):
    """A person; `sign_in_key` is `sign_in` without what does not tell names apart.

    `password` is what argon2 made of it, with its salt and cost; None for one who has none.
    """

    __tablename__ = "person"

    id: str = Field(primary_key=True)
    name: str
    sign_in: str
    sign_in_key: str = Field(unique=True)
    is_admin: bool = False
    password: str | None = None
    made_ms: int = Field(sa_type=BigInteger)
    ended_ms: int | None = Field(default=None, sa_type=BigInteger)


class SignInRow(SQLModel, table=True):
    """Whose a device is that was let in by signing in: it stays theirs, also when it is ended."""

    __tablename__ = "sign_in"

    device_key: str = Field(primary_key=True)
    person_id: str = Field(foreign_key="person.id", index=True)
    signed_in_ms: int = Field(sa_type=BigInteger)


class PasskeyRow(SQLModel, table=True):
    """A passkey: its public key, and how often it signed as far as it counts (0: it does not)."""

    __tablename__ = "passkey"

    id: str = Field(primary_key=True)
    person_id: str = Field(foreign_key="person.id", index=True)
    name: str
    public_key: str
    signs: int = Field(default=0, sa_type=BigInteger)
    made_ms: int = Field(sa_type=BigInteger)
    used_ms: int | None = Field(default=None, sa_type=BigInteger)


class ChallengeRow(SQLModel, table=True):
    """What a browser was asked to answer, once: found by the hash of what it alone keeps."""

    __tablename__ = "challenge"

    key_hash: str = Field(primary_key=True)
    purpose: str
    document: str = Field(sa_type=Text)
    expires_ms: int = Field(sa_type=BigInteger)


class PersonInvitationRow(SQLModel, table=True):
    """A link for one person, once; `document` is what else they are invited to, if anything."""

    __tablename__ = "person_invitation"

    id: str = Field(primary_key=True)
    secret_hash: str = Field(index=True)
    name: str = ""
    invited_by: str = Field(foreign_key="person.id")
    document: str | None = Field(default=None, sa_type=Text)
    made_ms: int = Field(sa_type=BigInteger)
    expires_ms: int = Field(sa_type=BigInteger)
    taken_by: str | None = Field(default=None, foreign_key="person.id")
    withdrawn_ms: int | None = Field(default=None, sa_type=BigInteger)


class RecoveryCodeRow(SQLModel, table=True):
    """One of the codes that let a person in, once, who has lost all else."""

    __tablename__ = "recovery_code"

    person_id: str = Field(primary_key=True, foreign_key="person.id")
    code_hash: str = Field(primary_key=True)
    used_ms: int | None = Field(default=None, sa_type=BigInteger)


class ResetRow(SQLModel, table=True):
    """A link by which a person sets a new password, once; `made_by` is None for the terminal."""

    __tablename__ = "password_reset"

    secret_hash: str = Field(primary_key=True)
    person_id: str = Field(foreign_key="person.id")
    made_by: str | None = Field(default=None, foreign_key="person.id")
    expires_ms: int = Field(sa_type=BigInteger)


class IdentityRow(SQLModel, table=True):
    """Who an organisation's own sign-in knows a person as: never by mail, which may be reused."""

    __tablename__ = "identity"

    issuer: str = Field(primary_key=True)
    subject: str = Field(primary_key=True)
    person_id: str = Field(foreign_key="person.id", index=True)
