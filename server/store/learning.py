"""How the sentences of a script went, and what one aims for.

A mark says what is so: it may arrive twice, late, or taken back before it came; taken back it stays
taken back. Marks are nobody's edit, so undo of the routine leaves them alone.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Annotated, cast

from pydantic import ConfigDict, Field
from sqlmodel import Session, col, func, select

from server.domain.base.errors import InvalidInput
from server.domain.learn.aim import LearningAim
from server.domain.learn.marks import MOST_MARKS, How, LearningMark
from server.store.routines import change_of, touch_routine
from server.store.tables import LearningAimRow, LearningMarkRow

MOST_AT_ONCE = 500


@dataclass(frozen=True)
class ArrivingMarks:
    """Marks as a device sends them, with the ids of those that were taken back."""

    __pydantic_config__ = ConfigDict(extra="forbid")

    marks: Annotated[tuple[LearningMark, ...], Field(max_length=MOST_AT_ONCE)]
    undone: Annotated[tuple[str, ...], Field(max_length=MOST_AT_ONCE)] = ()


def keep_marks(session: Session, routine_id: str, arriving: ArrivingMarks) -> None:
    """Keep what is new of these marks, and what was taken back. Raises NotFound, InvalidInput."""
    change_of(session, routine_id)
    _refuse_too_many(session, routine_id, len(arriving.marks))
    changed = False
    for mark in arriving.marks:
        if session.get(LearningMarkRow, (routine_id, mark.id)) is None:
            session.add(_row_of(routine_id, mark))
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
        .where(LearningMarkRow.routine_id == routine_id, col(LearningMarkRow.undone).is_(False))
        .order_by(col(LearningMarkRow.said_ms), col(LearningMarkRow.id))
    )
    return tuple(
        LearningMark(row.id, row.text, cast(How, row.how), row.step, row.said_ms) for row in rows
    )


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
    )


def _refuse_too_many(session: Session, routine_id: str, more: int) -> None:
    held = session.exec(
        select(func.count()).where(col(LearningMarkRow.routine_id) == routine_id)
    ).one()
    if held + more > MOST_MARKS:
        raise InvalidInput.of("marks", f"At most {MOST_MARKS:,} marks can be kept of a script.")
