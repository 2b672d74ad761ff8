"""What the processes of one database share for minutes; none of it is worth a copy."""

from sqlalchemy import BigInteger
from sqlmodel import Field, SQLModel

from server.store import tables  # noqa: F401  (names constraints)


class WrongTriesRow(SQLModel, table=True):
    """What an address tried of codes: tries spent, when that was so, and when its next turn is."""

    __tablename__ = "wrong_tries"

    side: str = Field(primary_key=True)
    spent: float
    since_ms: int = Field(sa_type=BigInteger, index=True)
    turn_ms: int = Field(sa_type=BigInteger)


class DeviceCodeRow(SQLModel, table=True):
    """The code that lets one more device in just now; there is at most one."""

    __tablename__ = "device_code"

    code: str = Field(primary_key=True)
    role: str
    expires_ms: int = Field(sa_type=BigInteger)


class PrintedLinkRow(SQLModel, table=True):
    """The link that a process which runs has printed in its terminal: the hash of its secret.

    The process puts `until_ms` off while it lives.
    """

    __tablename__ = "printed_link"

    secret_hash: str = Field(primary_key=True)
    until_ms: int = Field(sa_type=BigInteger)
