"""What was deleted more than thirty days ago goes for good; its rows stay, empty.

A device may still hold marks of a deleted run, and must be told that it is gone, not find it
unknown. Each write is short, for a run on stage may wait for it.
"""

from sqlmodel import Session, col, delete, or_, select, update

from server.domain.runs.summary import RunSummary
from server.domain.whole.exchange import to_json
from server.store.database import MOST_ROWS, Database
from server.store.heard.forgetting import forget_old_takes
from server.store.lost.deleted import KEPT_MS
from server.store.tables import (
    EventRow,
    LearningAimRow,
    LearningMarkRow,
    RevisionRow,
    RoutineRow,
    RunRow,
    SettledRemarkRow,
    TrackRow,
)
from server.store.tastings.table import SittingRow, TasterRow
from server.store.uploads.media_place import MediaPlace
from server.store.uploads.table import PhotographRow, RecordingRow


def forget_old(database: Database, folder: MediaPlace, music: MediaPlace, now_ms: int) -> None:
    """Take out for good what was deleted before the last thirty days. Raises OSError."""
    until_ms = now_ms - KEPT_MS
    with database.reading() as session:
        runs = _runs_to_forget(session, until_ms)
        routines = _routines_to_forget(session, until_ms)
        files = _files_to_forget(session, runs, until_ms)
        old = select(SittingRow.id).where(col(SittingRow.deleted_ms) < until_ms)
        sittings = list(session.exec(old))
    for name in files:
        folder.remove(name)
    _note_gone(database, files)
    forget_old_takes(database, folder, until_ms)
    for run_id in runs:
        while _forget_events(database, run_id):
            pass
        with database.writing() as session:
            _empty_run(session, run_id)
    for routine_id in routines:
        with database.writing() as session:
            keys = _empty_routine(session, routine_id)
        for key in keys:
            music.drop(key)
    if sittings:
        with database.writing() as session:
            _forget_sittings(session, sittings)


def forget_recording(database: Database, folder: MediaPlace, recording_id: str) -> None:
    """Delete the file of a deleted recording at once; of one that is not deleted, nothing.

    Raises OSError and Unreachable, and then it is still there.
    """
    deleted = col(RecordingRow.id) == recording_id, col(RecordingRow.deleted_ms).is_not(None)
    with database.reading() as session:
        file = session.exec(select(RecordingRow.file).where(*deleted)).first()
    if file:
        folder.remove(file)
        _note_gone(database, [file])


def _runs_to_forget(session: Session, until_ms: int) -> list[str]:
    old_routine = col(RoutineRow.deleted_ms) < until_ms
    has_events = select(EventRow.rev).where(EventRow.run_id == col(RunRow.id)).exists()
    statement = (
        select(RunRow.id)
        .join(RoutineRow, col(RoutineRow.id) == col(RunRow.routine_id))
        .where(or_(col(RunRow.deleted_ms) < until_ms, old_routine))
        .where(has_events)
    )
    return list(session.exec(statement))


def _routines_to_forget(session: Session, until_ms: int) -> list[str]:
    has_states = select(RevisionRow.number).where(RevisionRow.routine_id == RoutineRow.id).exists()
    old = select(RoutineRow.id).where(col(RoutineRow.deleted_ms) < until_ms)
    return list(session.exec(old.where(has_states)))


def _files_to_forget(session: Session, runs: list[str], until_ms: int) -> list[str]:
    old = or_(col(RecordingRow.deleted_ms) < until_ms, col(RecordingRow.run_id).in_(runs))
    return list(session.exec(select(RecordingRow.file).where(old, RecordingRow.file != "")))


def _note_gone(database: Database, files: list[str]) -> None:
    """Let no row name these files any more: a store that is far is not asked for them again."""
    for first in range(0, len(files), MOST_ROWS):
        some = col(RecordingRow.file).in_(files[first : first + MOST_ROWS])
        with database.writing() as session:
            session.connection().execute(
                update(RecordingRow).where(some).values(file="", received_bytes=0, received_parts=0)
            )


def _forget_events(database: Database, run_id: str) -> bool:
    some = select(EventRow.rev).where(EventRow.run_id == run_id).limit(MOST_ROWS)
    with database.writing() as session:
        gone = session.connection().execute(delete(EventRow).where(col(EventRow.rev).in_(some)))
    return gone.rowcount == MOST_ROWS


def _empty_run(session: Session, run_id: str) -> None:
    connection = session.connection()
    connection.execute(delete(SettledRemarkRow).where(col(SettledRemarkRow.run_id) == run_id))
    row = session.get_one(RunRow, run_id)
    row.label = row.notes = ""
    row.occasion = None
    row.summary = to_json(RunSummary({}, {}))
    row.deleted_ms = row.deleted_ms or 1
    session.add(row)
    blank = {"received_bytes": 0, "received_parts": 0, "deleted_ms": row.deleted_ms}
    of_run = update(RecordingRow).where(col(RecordingRow.run_id) == run_id)
    connection.execute(of_run.values(**blank))


def _empty_routine(session: Session, routine_id: str) -> list[str]:
    """Take out the states of a routine, what was learnt, tastings, music and photograph; returns
    the keys of the files of these two.
    """
    of_routine = select(SittingRow.id).where(SittingRow.routine_id == routine_id)
    _forget_sittings(session, list(session.exec(of_routine)))
    session.connection().execute(
        delete(RevisionRow).where(col(RevisionRow.routine_id) == routine_id)
    )
    for row in (LearningMarkRow, LearningAimRow):
        session.connection().execute(delete(row).where(col(row.routine_id) == routine_id))
    files = session.get(TrackRow, routine_id), session.get(PhotographRow, routine_id)
    there = [row for row in files if row is not None]
    for each in there:
        session.delete(each)
    return [each.key for each in there]


def _forget_sittings(session: Session, sittings: list[str]) -> None:
    """Take out tastings, with all that anybody answered."""
    connection = session.connection()
    connection.execute(delete(TasterRow).where(col(TasterRow.sitting_id).in_(sittings)))
    connection.execute(delete(SittingRow).where(col(SittingRow.id).in_(sittings)))
