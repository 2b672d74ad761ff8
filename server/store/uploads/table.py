"""The table of photographs."""

from sqlmodel import Field, SQLModel

from server.store import tables  # noqa: F401  (names constraints, and holds what is referred to)


class PhotographRow(SQLModel, table=True):
    """The photograph of a routine's bar; `key` names its file, beside the music."""

    __tablename__ = "photograph"

    routine_id: str = Field(primary_key=True, foreign_key="routine.id")
    key: str
    media_type: str
    under_percent: int = 0
