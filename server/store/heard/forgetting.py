"""Takes that were deleted: listed while they can be brought back, then taken out for good."""

from sqlalchemy import ColumnElement
from sqlmodel import Session, col, or_, select

from server.domain.heard.decided import Decided
from server.domain.whole.exchange import to_json
from server.store.database import Database
from server.store.heard.table import TakeRow
from server.store.tables import RoutineRow
from server.store.uploads.media_place import MediaPlace


def deleted_takes(session: Session, since_ms: int) -> list[tuple[str, str, str, int]]:
    """Id, name, routine and time of deletion of every take that was deleted since."""
    rows = session.exec(
        select(TakeRow.id, TakeRow.name, TakeRow.routine_id, TakeRow.deleted_ms)
        .where(col(TakeRow.deleted_ms) >= since_ms)
        .where(_has_something())
    )
    return [(take_id, name, routine_id, at or 0) for take_id, name, routine_id, at in rows]


def forget_take(database: Database, folder: MediaPlace, take_id: str) -> None:
    """Take out sound and words of a deleted take at once; of one that is not deleted, nothing."""
    with database.writing() as session:
        row = session.get(TakeRow, take_id)
        if row is None or row.deleted_ms is None:
            return
        file = _emptied(session, row)
    folder.drop(file)


def forget_old_takes(database: Database, folder: MediaPlace, until_ms: int) -> None:
    """Take out for good what was deleted before `until_ms`, or whose routine was."""
    with database.reading() as session:
        ids = list(
            session.exec(
                select(TakeRow.id)
                .join(RoutineRow, col(RoutineRow.id) == col(TakeRow.routine_id))
                .where(
                    or_(col(TakeRow.deleted_ms) < until_ms, col(RoutineRow.deleted_ms) < until_ms)
                )
                .where(_has_something())
            )
        )
    for take_id in ids:
        with database.writing() as session:
            file = _emptied(session, session.get_one(TakeRow, take_id))
        folder.drop(file)


def _has_something() -> ColumnElement[bool]:
    return or_(col(TakeRow.words).is_not(None), col(TakeRow.file) != "")


def _emptied(session: Session, row: TakeRow) -> str:
    """Empty a row, which stays; returns the name of the file that is to go."""
    file, row.file = row.file, ""
    row.words, row.words_from, row.decided = None, "", to_json(Decided())
    row.onsets = None
    row.name = row.job = row.job_says = ""
    row.received_bytes = row.received_parts = 0
    row.done = False
    row.deleted_ms = row.deleted_ms or 1
    session.add(row)
    return file
