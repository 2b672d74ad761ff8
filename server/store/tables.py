"""The tables, without behaviour; those of only some pages stand in the `table.py` of a folder.

Times are epoch milliseconds: SQLite forgets time zones, PostgreSQL must read the same. Documents
are JSON texts of `server.domain.whole.exchange`, read by `readable`: a damaged one closes only
itself. A row that must be there comes from `row_there`; rows that may be there already go through
`InsertNew`; a change that many who mark make to one row through `in_order_at_the_end`. Checkpoints
of the log happen only in `Database.writing`.
"""

from sqlalchemy import BigInteger, Column, Index, Integer, Text, text
from sqlmodel import Field, SQLModel, UniqueConstraint

COUNTED = BigInteger().with_variant(Integer(), "sqlite")  # That counts on for INTEGER alone.
SQLModel.model_config["defer_build"] = True  # Rows are never validated: no start waits for that.
SQLModel.metadata.naming_convention = {  # Batch migrations drop and alter constraints by name.
    "ix": "ix_%(column_0_label)s",
    "uq": "uq_%(table_name)s_%(column_0_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}


def of_the_deleted(table: str) -> Index:
    """An index of what was deleted alone. One of all rows is taken for a way to those that are
    there, which are nearly all of them.
    """
    deleted = text("deleted_ms IS NOT NULL")
    name = f"ix_{table}_deleted_ms"
    return Index(name, "deleted_ms", sqlite_where=deleted, postgresql_where=deleted)


class RuleSheetRow(SQLModel, table=True):
    """A rule sheet; `revision` counts its changes."""

    __tablename__ = "rule_sheet"

    id: str = Field(primary_key=True)
    name: str
    document: str = Field(sa_type=Text)
    revision: int = 1
    deleted_ms: int | None = Field(default=None, sa_type=BigInteger)


class RoutineRow(SQLModel, table=True):
    """A routine's place in the list; what it holds is in its revision number `head`.

    `change` counts every change that a page about it may show (edits, undo, runs), so that a page
    can be kept as long as it stands still.
    """

    __tablename__ = "routine"
    __table_args__ = (of_the_deleted("routine"),)

    id: str = Field(primary_key=True)
    position: int = Field(index=True)
    head: int
    change: int = 1
    goal: str | None = Field(default=None, sa_type=Text)
    deleted_ms: int | None = Field(default=None, sa_type=BigInteger)


class RevisionRow(SQLModel, table=True):
    """A routine as it was after one edit; undo makes an earlier one the head."""

    __tablename__ = "revision"

    routine_id: str = Field(primary_key=True, foreign_key="routine.id")
    number: int = Field(primary_key=True)
    label: str
    saved_ms: int = Field(sa_type=BigInteger, index=True)
    document: str = Field(sa_type=Text)


class PlanRow(SQLModel, table=True):
    """A plan as runs froze it; `key` is made of what it holds, so equal plans are kept once."""

    __tablename__ = "plan"

    key: str = Field(primary_key=True)
    document: str = Field(sa_type=Text)


class RunRow(SQLModel, table=True):
    """A run; status, times, `doubt` and `summary` are derived from its events when these arrive.

    `excluded` is what the person said: None while they said nothing of whether it counts.

    `derived` is the version of what was derived: see `run_logs.derive_again`.
    """

    __tablename__ = "run"
    __table_args__ = (of_the_deleted("run"),)

    id: str = Field(primary_key=True)
    routine_id: str = Field(foreign_key="routine.id", index=True)
    plan_key: str = Field(foreign_key="plan.key")
    created_ms: int = Field(sa_type=BigInteger)
    source: str
    label: str = ""
    notes: str = Field(default="", sa_type=Text)
    excluded: bool | None = None
    deleted_ms: int | None = Field(default=None, sa_type=BigInteger)
    status: str = "waiting"
    started_ms: int | None = Field(default=None, sa_type=BigInteger)
    total_ms: int | None = Field(default=None, sa_type=BigInteger)
    doubt: str = Field(default="", sa_column_kwargs={"server_default": text("''")})
    summary: str = Field(default="{}", sa_type=Text)
    derived: int = Field(default=0, sa_column_kwargs={"server_default": "0"})
    occasion: str | None = Field(default=None, sa_type=Text)


class EventRow(SQLModel, table=True):
    """An event as the device sent it; `rev` is the order of arrival here."""

    __tablename__ = "event"
    __table_args__ = UniqueConstraint("run_id", "id"), Index("ix_event_run_id_rev", "run_id", "rev")

    rev: int | None = Field(default=None, sa_column=Column(COUNTED, primary_key=True))
    run_id: str = Field(foreign_key="run.id")
    id: str
    received_ms: int = Field(sa_type=BigInteger)
    document: str = Field(sa_type=Text)


class TrackRow(SQLModel, table=True):
    """The music of a routine; `key` names its file in the data folder."""

    __tablename__ = "track"

    routine_id: str = Field(primary_key=True, foreign_key="routine.id")
    key: str
    name: str
    media_type: str
    size: int = Field(sa_type=BigInteger)


class SettledRemarkRow(SQLModel, table=True):
    """A watcher's remark that the presenter called done."""

    __tablename__ = "settled_remark"

    run_id: str = Field(primary_key=True, foreign_key="run.id")
    remark_id: str = Field(primary_key=True)


class JoinCodeRow(SQLModel, table=True):
    """The code by which others join a run, while it is open to them."""

    __tablename__ = "join_code"

    run_id: str = Field(primary_key=True, foreign_key="run.id")
    code: str
    expires_ms: int = Field(sa_type=BigInteger)


class WatcherRow(SQLModel, table=True):
    """One who joined a run; of the token that admits them only the hash is kept.

    `key` stays the same where the same browser joins again, which ends the pass before.
    """

    __tablename__ = "watcher"

    token_hash: str = Field(primary_key=True)
    run_id: str = Field(foreign_key="run.id", index=True)
    name: str
    joined_ms: int = Field(sa_type=BigInteger)
    expires_ms: int = Field(sa_type=BigInteger)
    key: str = Field(default="", sa_column_kwargs={"server_default": text("''")})
    ended_ms: int | None = Field(default=None, sa_type=BigInteger)


class DeviceRow(SQLModel, table=True):
    """A device that was let in; of the secret in its cookie only the hash is kept.

    `key` stays the same where a device that was taken out is let in again: so what it marked
    meanwhile is still its own.
    """

    __tablename__ = "device"

    token_hash: str = Field(primary_key=True)
    key: str = Field(index=True)
    role: str
    name: str
    let_in_ms: int = Field(sa_type=BigInteger)
    used_ms: int = Field(sa_type=BigInteger)
    taken_ms: int | None = Field(default=None, sa_type=BigInteger)


class InvitationRow(SQLModel, table=True):
    """A link that lets in one device, printed in the terminal; only the hash of its secret."""

    __tablename__ = "invitation"

    secret_hash: str = Field(primary_key=True)
    role: str
    expires_ms: int = Field(sa_type=BigInteger)


class LogDeviceRow(SQLModel, table=True):
    """Whose a device's name in the log of a run is: the key of the first who wrote under it.

    The run may be one that is yet to come from a device that was away.
    """

    __tablename__ = "log_device"

    run_id: str = Field(primary_key=True)
    device_id: str = Field(primary_key=True)
    key: str


class PackedRow(SQLModel, table=True):
    """A thing of a routine's kit that was ticked for an occasion (`before`: the time before), or a
    task that is done; `said_ms` is when somebody last said how it stands, `packed_for` the amount
    for which it was last packed, None where that was not kept.
    """

    __tablename__ = "packed"

    routine_id: str = Field(primary_key=True, foreign_key="routine.id")
    occasion: str = Field(primary_key=True)
    key: str = Field(primary_key=True)
    packed: bool = False
    before: bool = False
    said_ms: int | None = Field(default=None, sa_type=BigInteger)
    packed_for: str | None = None


class LearningMarkRow(SQLModel, table=True):
    """How a sentence of the script went; a row that was `undone` stays, for it may arrive again.
    `run_id` is the run whose recording told it.
    """

    __tablename__ = "learning_mark"

    routine_id: str = Field(primary_key=True, foreign_key="routine.id")
    id: str = Field(primary_key=True)
    said_ms: int = Field(sa_type=BigInteger)
    text: str = Field(sa_type=Text)
    how: str
    step: int
    undone: bool = False
    run_id: str | None = Field(default=None, index=True)


class LearningAimRow(SQLModel, table=True):
    """Minutes a day for learning a script, and the day it is to sit where Prepare names none."""

    __tablename__ = "learning_aim"

    routine_id: str = Field(primary_key=True, foreign_key="routine.id")
    minutes: int
    day: str = Field(default="", sa_column_kwargs={"server_default": text("''")})
