"""Routines whose last state cannot be read: named, with the last state that can be."""

import re
from collections.abc import Collection
from dataclasses import dataclass

from sqlmodel import Session, col, select

from server.domain.base.errors import Conflict
from server.domain.routine.routine import Routine
from server.store.database import row_there
from server.store.readable import readable
from server.store.tables import RevisionRow, RoutineRow

_NAME = re.compile(r'"name":"((?:[^"\\]|\\.){1,120})"')


@dataclass(frozen=True)
class DamagedRoutine:
    """A routine that cannot be opened; `good_ms` is when its last readable state was saved, None
    where none can be read.
    """

    id: str
    name: str
    good_ms: int | None


def damaged_routines(session: Session, unread: Collection[str]) -> list[DamagedRoutine]:
    """Of these routines, which could not be read, those that are not deleted."""
    rows = session.exec(
        select(RoutineRow, RevisionRow.document)
        .join(RevisionRow, col(RevisionRow.routine_id) == col(RoutineRow.id))
        .where(RevisionRow.number == RoutineRow.head)
        .where(col(RoutineRow.deleted_ms).is_(None))
        .where(col(RoutineRow.id).in_(unread))
        .order_by(col(RoutineRow.position))
    )
    return [_damaged(session, row, document) for row, document in rows]


def go_back_to_readable(session: Session, routine_id: str) -> Routine:
    """Make the last state that can be read the present one; later states stay in the history.

    Raises NotFound, and Conflict where none can be read.
    """
    row = row_there(session, RoutineRow, routine_id, "There is no such routine.")
    found = _last_readable(session, row)
    if found is None:
        raise Conflict("No state of this routine can be read. Bring a backup back: ./run restore")
    revision, routine = found
    row.head = revision.number
    row.change += 1
    session.add(row)
    return routine


def _damaged(session: Session, row: RoutineRow, document: str) -> DamagedRoutine:
    found = _last_readable(session, row)
    if found is not None:
        return DamagedRoutine(row.id, found[1].name, found[0].saved_ms)
    named = _NAME.search(document)
    return DamagedRoutine(row.id, named[1] if named else row.id, None)


def _last_readable(session: Session, row: RoutineRow) -> tuple[RevisionRow, Routine] | None:
    revisions = session.exec(
        select(RevisionRow)
        .where(RevisionRow.routine_id == row.id)
        .where(col(RevisionRow.number) <= row.head)
        .order_by(col(RevisionRow.number).desc())
    )
    for revision in revisions:
        routine = readable(Routine, revision.document, row.id)
        if routine is not None:
            return revision, routine
    return None
