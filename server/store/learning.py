"""How the sentences of a script went, and what one aims for.

A mark says what is so: it may arrive twice, late, or taken back before it came; taken back it stays
taken back. Marks are nobody's edit, so undo of the routine leaves them alone. What a recording told
stands as long as its run does and is not left out of the figures.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Annotated, cast

from pydantic import Field
from sqlalchemy import ColumnElement
from sqlmodel import Session, and_, col, delete, func, or_, select

from server.domain.base.documents import Document
from server.domain.base.errors import InvalidInput
from server.domain.learn.aim import LearningAim
from server.domain.learn.learning_marks import MOST_MARKS, How, LearningMark
from server.store.routines import change_of, touch_routine
from server.store.tables import LearningAimRow, LearningMarkRow, RunRow

MOST_AT_ONCE = 500


@dataclass(frozen=True)
class ArrivingMarks(Document):
    """Marks as a device sends them, with the ids of those that were taken back."""

    marks: Annotated[tuple[LearningMark, ...], Field(max_length=MOST_AT_ONCE)]
    undone: Annotated[tuple[str, ...], Field(max_length=MOST_AT_ONCE)] = ()


def keep_marks(session: Session, routine_id: str, arriving: ArrivingMarks) -> None:
    """Keep what is new of these marks, and what was taken back. Raises NotFound, InvalidInput."""
    change_of(session, routine_id)
    _refuse_too_many(session, routine_id, len(arriving.marks))
    changed = False
    for mark in arriving.marks:
        if session.get(LearningMarkRow, (routine_id, mark.id)) is None:
            # Only the app itself says what a recording told.
            session.add(_row_of(routine_id, replace(mark, run_id=None)))
            changed = True
    session.flush()
    for mark_id in arriving.undone:
        row = session.get(LearningMarkRow, (routine_id, mark_id))
        if row is not None and not row.undone:
            row.undone = True
            session.add(row)
            changed = True
    if changed:
        touch_routine(session, routine_id)


def marks_of(session: Session, routine_id: str) -> tuple[LearningMark, ...]:
    """All marks of a routine that stand, the first one first."""
    rows = session.exec(
        select(LearningMarkRow)
        .outerjoin(RunRow, col(RunRow.id) == col(LearningMarkRow.run_id))
        .where(LearningMarkRow.routine_id == routine_id, col(LearningMarkRow.undone).is_(False))
        .where(or_(col(LearningMarkRow.run_id).is_(None), _counts()))
        .order_by(col(LearningMarkRow.said_ms), col(LearningMarkRow.id))
    )
    return tuple(
        LearningMark(row.id, row.text, cast(How, row.how), row.step, row.said_ms, row.run_id)
        for row in rows
    )


def _counts() -> ColumnElement[bool]:
    """Whether the run whose recording told a mark is there and not left out by the person."""
    is_in = or_(col(RunRow.excluded).is_(None), col(RunRow.excluded).is_(False))
    return and_(col(RunRow.id).is_not(None), col(RunRow.deleted_ms).is_(None), is_in)


def mark_from_run(session: Session, routine_id: str, marks: Sequence[LearningMark]) -> None:
    """Keep what a recording told; none of it where there is no room: no run is refused for it."""
    if _held(session, routine_id) + len(marks) <= MOST_MARKS:
        add_marks(session, routine_id, marks)
        touch_routine(session, routine_id)


def marked_by_run(session: Session, run_id: str) -> int:
    """How many sentences the recording of a run marked."""
    of_run = select(func.count()).where(col(LearningMarkRow.run_id) == run_id)
    return session.exec(of_run).one()


def unmark_from_run(session: Session, run_id: str) -> None:
    """Take out what the recording of a run told."""
    session.execute(delete(LearningMarkRow).where(col(LearningMarkRow.run_id) == run_id))


def add_marks(session: Session, routine_id: str, marks: Iterable[LearningMark]) -> None:
    """Keep the marks of a routine that has just come in with its file."""
    session.add_all([_row_of(routine_id, mark) for mark in marks])


def aim_of(session: Session, routine_id: str) -> LearningAim | None:
    """What the person aims for; None where they never said."""
    row = session.get(LearningAimRow, routine_id)
    if row is None:
        return None
    return LearningAim(row.minutes, date.fromisoformat(row.day) if row.day else None)


def set_aim(session: Session, routine_id: str, aim: LearningAim) -> None:
    """Keep what the person aims for. Raises NotFound."""
    change_of(session, routine_id)
    row = session.get(LearningAimRow, routine_id) or LearningAimRow(
        routine_id=routine_id, minutes=aim.minutes
    )
    row.minutes, row.day = aim.minutes, aim.day.isoformat() if aim.day else ""
    session.add(row)
    touch_routine(session, routine_id)


def _row_of(routine_id: str, mark: LearningMark) -> LearningMarkRow:
    return LearningMarkRow(
        routine_id=routine_id,
        id=mark.id,
        said_ms=mark.said_ms,
        text=mark.text,
        how=mark.how,
        step=mark.step,
        run_id=mark.run_id,
    )


def _refuse_too_many(session: Session, routine_id: str, more: int) -> None:
    if _held(session, routine_id) + more > MOST_MARKS:
        raise InvalidInput.of("marks", f"At most {MOST_MARKS:,} marks can be kept of a script.")


def _held(session: Session, routine_id: str) -> int:
    return session.exec(
        select(func.count()).where(col(LearningMarkRow.routine_id) == routine_id)
    ).one()
