"""The tables of tastings."""

from sqlalchemy import BigInteger, Text
from sqlmodel import Field, SQLModel

from server.store.tables import of_the_deleted


class SittingRow(SQLModel, table=True):
    """A tasting as it was set up, with the recipes that were tasted; `code` lets tasters in."""

    __tablename__ = "sitting"
    __table_args__ = (of_the_deleted("sitting"),)

    id: str = Field(primary_key=True)
    routine_id: str = Field(foreign_key="routine.id", index=True)
    made_ms: int = Field(sa_type=BigInteger)
    document: str = Field(sa_type=Text)
    code: str = ""
    code_expires_ms: int = Field(default=0, sa_type=BigInteger)
    deleted_ms: int | None = Field(default=None, sa_type=BigInteger)


class TasterRow(SQLModel, table=True):
    """One phone at a tasting: its pass (only the hash), its place, and all that it answered.

    `place` is counted from 1 once who holds it said that they may taste, 0 before; `joins` is how
    often the phone joined: it stays one taster. `count` is that of the answer it sent last.
    """

    __tablename__ = "taster"

    sitting_id: str = Field(primary_key=True, foreign_key="sitting.id")
    key: str = Field(primary_key=True)
    token_hash: str = Field(index=True)
    name: str
    joined_ms: int = Field(sa_type=BigInteger)
    joins: int = 1
    place: int = 0
    count: int = 0
    answer: str = Field(default="{}", sa_type=Text)
    answered_ms: int | None = Field(default=None, sa_type=BigInteger)
    apart: bool = False
