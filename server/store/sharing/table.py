"""The tables of who holds what. Rows stay while accounts are switched off: nobody asks then."""

from sqlalchemy import BigInteger
from sqlmodel import Field, SQLModel

from server.store.people import table  # noqa: F401  (persons are referred to)


class ShareRow(SQLModel, table=True):
    """How a person stands to a routine; `hears` is what an owner ticked for a coach."""

    __tablename__ = "share"

    routine_id: str = Field(primary_key=True, foreign_key="routine.id")
    person_id: str = Field(primary_key=True, foreign_key="person.id", index=True)
    standing: str
    hears: bool = False
    since_ms: int = Field(sa_type=BigInteger)


class TeamRow(SQLModel, table=True):
    """A team. Of a dissolved one the row stays, for what was done in its name."""

    __tablename__ = "team"

    id: str = Field(primary_key=True)
    name: str
    made_ms: int = Field(sa_type=BigInteger)
    dissolved_ms: int | None = Field(default=None, sa_type=BigInteger)


class TeamMemberRow(SQLModel, table=True):
    """One of a team; who leads it owns what the team owns."""

    __tablename__ = "team_member"

    team_id: str = Field(primary_key=True, foreign_key="team.id")
    person_id: str = Field(primary_key=True, foreign_key="person.id", index=True)
    leads: bool = False


class TeamRoutineRow(SQLModel, table=True):
    """The team that owns a routine, and how its members stand to it who do not lead."""

    __tablename__ = "team_routine"

    routine_id: str = Field(primary_key=True, foreign_key="routine.id")
    team_id: str = Field(foreign_key="team.id", index=True)
    standing: str


class SheetHolderRow(SQLModel, table=True):
    """Whose a rule sheet is: a person's or a team's. One without a row came with the app."""

    __tablename__ = "sheet_holder"

    sheet_id: str = Field(primary_key=True, foreign_key="rule_sheet.id")
    person_id: str | None = Field(default=None, foreign_key="person.id", index=True)
    team_id: str | None = Field(default=None, foreign_key="team.id", index=True)


class InheritedRow(SQLModel, table=True):
    """What went to somebody because whose it was had their account ended: it is told, not silent.

    `kind` says what `thing_id` is the id of: a routine, a team or a rule sheet.
    """

    __tablename__ = "inherited"

    kind: str = Field(primary_key=True)
    thing_id: str = Field(primary_key=True)
    from_id: str = Field(primary_key=True, foreign_key="person.id")
    heir_id: str = Field(foreign_key="person.id", index=True)
    since_ms: int = Field(sa_type=BigInteger)
