"""Recordings of runs: announced, received in parts in their order, closed, read and deleted.

Every step can be asked for again and does no harm: a part that is here already is counted once, a
recording that is closed stays closed.
"""

from collections.abc import Collection
from dataclasses import dataclass
from typing import Annotated

from pydantic import ConfigDict, Field
from sqlmodel import Session, col, select

from server.domain.base.documents import Instant
from server.domain.base.errors import Conflict, Gone, NotFound
from server.domain.base.ids import Id
from server.domain.base.media import Kind
from server.store.routines import touch_routine
from server.store.runs import live_row
from server.store.tables import RunRow
from server.store.uploads.arriving import begin_anew, require_size, take_part
from server.store.uploads.before_writing import Find
from server.store.uploads.media_place import MediaPlace
from server.store.uploads.table import RecordingRow


@dataclass(frozen=True)
class Announced:
    """What a device says of a recording before it sends it; `started_ms` on the run's clock."""

    __pydantic_config__ = ConfigDict(extra="forbid", strict=True)

    id: Id
    kind: Kind
    started_ms: Instant
    lasts_ms: Annotated[int, Field(ge=0, le=2**53)]
    size_bytes: Annotated[int, Field(ge=1, le=2**53)]


@dataclass(frozen=True)
class Recording:
    """A recording as far as it is here."""

    id: str
    run_id: str
    kind: Kind
    media_type: str
    file: str
    started_ms: int
    lasts_ms: int
    size_bytes: int
    received_bytes: int
    received_parts: int
    done: bool
    created_ms: int


@dataclass(frozen=True)
class KeptRecording:
    """A recording with what tells its run."""

    recording: Recording
    run_label: str
    run_started_ms: int | None
    run_deleted: bool


def announce_recording(
    session: Session,
    folder: MediaPlace,
    run_id: str,
    announced: Announced,
    most_bytes: int,
    now_ms: int,
) -> Recording:
    """Take note of a recording that is to come, or find how much of it is here.

    One whose file is shorter than what was counted begins anew: what is missing is on the device.
    Raises NotFound and Gone for the run, TooLarge and NoRoom for the size, Conflict where the id
    stands for another recording.
    """
    run = live_row(session, run_id)
    row = session.get(RecordingRow, announced.id)
    if row is not None:
        _refuse_deleted(row)
        if (row.run_id, row.size_bytes) != (run_id, announced.size_bytes):
            raise Conflict("Another recording is here under this id.")
        if not folder.holds(row.file, row.received_bytes):
            begin_anew(folder, row)
            _save(session, row)
        return _recording(row)
    require_size(folder, announced.size_bytes, most_bytes)
    row = RecordingRow(
        id=announced.id,
        run_id=run_id,
        kind=announced.kind,
        file=folder.new_name(),
        started_ms=announced.started_ms,
        lasts_ms=announced.lasts_ms,
        size_bytes=announced.size_bytes,
        created_ms=now_ms,
    )
    session.add(row)
    touch_routine(session, run.routine_id)
    session.flush()
    return _recording(row)


def append_part(
    session: Session, folder: MediaPlace, recording_id: str, number: int, part: bytes
) -> Recording:
    """Add part `number`, counted from 0; one that is here already changes nothing.

    Raises Conflict for a part that comes before its time or where the file lacks some of those
    before it (announced again, the recording begins anew), InvalidInput for what is no sound or
    video, TooLarge for more than was announced, NoRoom, NotFound and Gone.
    """
    row = _row(session, recording_id)
    live_row(session, row.run_id)
    if take_part(folder, row, number, part):
        _save(session, row)
    return _recording(row)


def recording_row(recording_id: str) -> Find:
    """Finds how much of a recording is here, also of one that was deleted."""
    return lambda session: session.get(RecordingRow, recording_id)


def arriving_recording(recording_id: str) -> Find:
    """Finds how much of a recording that arrives is here. Raises NotFound and Gone."""
    return lambda session: load_recording(session, recording_id)


def load_recording(session: Session, recording_id: str) -> Recording:
    """One recording, complete or not. Raises NotFound and Gone."""
    return _recording(_row(session, recording_id))


def run_recordings(session: Session, run_id: str) -> list[Recording]:
    """The recordings of a run of which something is here, in the order they were made."""
    rows = session.exec(
        select(RecordingRow)
        .where(RecordingRow.run_id == run_id)
        .where(RecordingRow.received_parts > 0)
        .where(col(RecordingRow.deleted_ms).is_(None))
        .order_by(col(RecordingRow.started_ms), RecordingRow.id)
    )
    return [_recording(row) for row in rows]


def every_recording(session: Session, within: Collection[str] | None = None) -> list[KeptRecording]:
    """All recordings of which something is here, also those of deleted runs; latest first.

    `within` are the ids of the routines whose recordings are wanted, None for all.
    """
    statement = (
        select(RecordingRow, RunRow)
        .join(RunRow, col(RunRow.id) == RecordingRow.run_id)
        .where(RecordingRow.received_parts > 0)
        .where(col(RecordingRow.deleted_ms).is_(None))
        .order_by(col(RecordingRow.created_ms).desc())
    )
    if within is not None:
        statement = statement.where(col(RunRow.routine_id).in_(within))
    rows = session.exec(statement)
    return [
        KeptRecording(_recording(row), run.label, run.started_ms, run.deleted_ms is not None)
        for row, run in rows
    ]


def delete_recording(session: Session, recording_id: str, now_ms: int) -> str:
    """Take a recording out of the lists; returns the id of its run. Its file stays for a while.

    Raises NotFound and Gone.
    """
    row = _row(session, recording_id)
    row.deleted_ms = now_ms
    _save(session, row)
    return row.run_id


def restore_recording(session: Session, folder: MediaPlace, recording_id: str) -> str:
    """Bring a deleted recording back; returns the id of its run.

    Raises NotFound, and Gone where its file has gone already.
    """
    row = session.get(RecordingRow, recording_id)
    if row is None:
        raise NotFound("There is no such recording.")
    if not row.received_bytes or not folder.holds(row.file, row.received_bytes):
        raise Gone("This recording was deleted for good.")
    row.deleted_ms = None
    _save(session, row)
    return row.run_id


def _save(session: Session, row: RecordingRow) -> None:
    session.add(row)
    touch_routine(session, session.get_one(RunRow, row.run_id).routine_id)
    session.flush()


def _row(session: Session, recording_id: str) -> RecordingRow:
    row = session.get(RecordingRow, recording_id)
    if row is None:
        raise NotFound("There is no such recording.")
    _refuse_deleted(row)
    return row


def _refuse_deleted(row: RecordingRow) -> None:
    if row.deleted_ms is not None:
        raise Gone("This recording was deleted.")


def _recording(row: RecordingRow) -> Recording:
    return Recording(**row.model_dump(exclude={"deleted_ms"}))
