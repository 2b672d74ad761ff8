"""The tables of photographs and of recordings of runs."""

from sqlalchemy import BigInteger
from sqlmodel import Field, SQLModel

from server.store.tables import of_the_deleted


class PhotographRow(SQLModel, table=True):
    """The photograph of a routine's bar; `key` names its file, beside the music."""

    __tablename__ = "photograph"

    routine_id: str = Field(primary_key=True, foreign_key="routine.id")
    key: str
    media_type: str
    under_percent: int = 0


class RecordingRow(SQLModel, table=True):
    """A recording of a run; its content is the file of that name in the folder of recordings.

    It is announced first and received in parts; `started_ms` is where it begins on the run's clock.
    Of a deleted one the row stays: the device may still hold it, and must not bring it back.
    """

    __tablename__ = "recording"
    __table_args__ = (of_the_deleted("recording"),)

    id: str = Field(primary_key=True)
    run_id: str = Field(foreign_key="run.id", index=True)
    kind: str
    media_type: str = ""
    file: str
    started_ms: int = Field(sa_type=BigInteger)
    lasts_ms: int = Field(sa_type=BigInteger)
    size_bytes: int = Field(sa_type=BigInteger)
    received_bytes: int = Field(default=0, sa_type=BigInteger)
    received_parts: int = 0
    done: bool = False
    created_ms: int = Field(sa_type=BigInteger)
    deleted_ms: int | None = Field(default=None, sa_type=BigInteger)
