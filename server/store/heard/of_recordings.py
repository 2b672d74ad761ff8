"""Takes of the recordings of runs: found, or made where there is none yet."""

from collections.abc import Collection

from sqlmodel import Session, col, select

from server.store.heard.table import TakeRow
from server.store.heard.takes import save_take
from server.store.ids import new_id
from server.store.runs import live_row
from server.store.uploads.recordings import load_recording


def take_of_recording(session: Session, recording_id: str, now_ms: int) -> str:
    """The take of a run's recording, made where there is none yet; returns its id.

    The run that was marked by hand stands beside it. Raises NotFound and Gone.
    """
    recording = load_recording(session, recording_id)
    run = live_row(session, recording.run_id)
    found = session.exec(
        select(TakeRow.id)
        .where(TakeRow.recording_id == recording_id)
        .where(col(TakeRow.deleted_ms).is_(None))
    ).first()
    if found is not None:
        return found
    row = TakeRow(
        id=new_id(),
        routine_id=run.routine_id,
        plan_key=run.plan_key,
        name=run.label,
        created_ms=now_ms,
        started_ms=None if run.started_ms is None else run.started_ms + recording.started_ms,
        recording_id=recording_id,
        beside_run_id=run.id,
    )
    save_take(session, row)
    return row.id


def takes_of_recordings(session: Session, recording_ids: Collection[str]) -> dict[str, str]:
    """Recording of a run -> its take, for those of them of which words were found."""
    statement = (
        select(TakeRow.recording_id, TakeRow.id)
        .where(col(TakeRow.recording_id).in_(recording_ids))
        .where(col(TakeRow.words).is_not(None))
        .where(col(TakeRow.deleted_ms).is_(None))
    )
    return {
        recording_id: take_id for recording_id, take_id in session.exec(statement) if recording_id
    }
