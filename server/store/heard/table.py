"""The table of takes."""

import json

from sqlalchemy import BigInteger, Text, text
from sqlmodel import Field, SQLModel

from server.domain.heard.probe import SecondThought
from server.store.tables import of_the_deleted
from server.store.uploads import table  # noqa: F401  (recordings are referred to)


class TakeRow(SQLModel, table=True):
    """What was recorded or captioned of a routine: its sound, its words, what was decided of them.

    The sound is a file of that name in the folder of recordings, received in parts, or that of the
    recording `recording_id`. `onsets` are those of speech, in ms, where a browser found them. `job`
    is what the recogniser has to do with it: "" for nothing; `job_by` names the process that does
    it, which is taken to be gone after `job_until_ms`; `job_what` is "" for finding the words,
    "again" for a second listening, and `again` what that thought, None while there was none.
    `run_id` is the run that was made of it, `beside_run_id` one that was marked by hand.
    """

    __tablename__ = "take"
    __table_args__ = (of_the_deleted("take"),)

    id: str = Field(primary_key=True)
    routine_id: str = Field(foreign_key="routine.id", index=True)
    plan_key: str = Field(foreign_key="plan.key")
    name: str
    created_ms: int = Field(sa_type=BigInteger)
    started_ms: int | None = Field(default=None, sa_type=BigInteger)
    recording_id: str | None = Field(default=None, foreign_key="recording.id", index=True)
    kind: str = "sound"
    media_type: str = ""
    file: str = ""
    lasts_ms: int = Field(default=0, sa_type=BigInteger)
    size_bytes: int = Field(default=0, sa_type=BigInteger)
    received_bytes: int = Field(default=0, sa_type=BigInteger)
    received_parts: int = 0
    done: bool = False
    words: str | None = Field(default=None, sa_type=Text)
    words_from: str = ""
    onsets: str | None = Field(default=None, sa_type=Text)
    again: str | None = Field(default=None, sa_type=Text)
    decided: str = Field(default="{}", sa_type=Text)
    job: str = ""
    job_what: str = Field(default="", sa_column_kwargs={"server_default": text("''")})
    job_share: int = 0
    job_says: str = ""
    job_by: str = Field(default="", sa_column_kwargs={"server_default": text("''")})
    job_until_ms: int = Field(
        default=0, sa_type=BigInteger, sa_column_kwargs={"server_default": text("0")}
    )
    beside_run_id: str | None = Field(default=None, foreign_key="run.id")
    run_id: str | None = Field(default=None, foreign_key="run.id", index=True)
    deleted_ms: int | None = Field(default=None, sa_type=BigInteger)


def thoughts_in_row(document: str | None) -> tuple[SecondThought, ...]:
    """What a second listening thought, as a row holds it."""
    return tuple(SecondThought(*each) for each in json.loads(document)) if document else ()


def onsets_in_row(document: str | None) -> tuple[int, ...]:
    """The onsets of speech that a row holds, in ms."""
    return tuple(json.loads(document)) if document else ()
