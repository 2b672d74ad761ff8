"""Routines: each a pile of revisions with one of them on top.

Saving puts a revision on the pile; undo and redo move the head along it. A save after an undo
drops what was undone. Nothing is ever edited in place.
"""

import json
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from functools import lru_cache

from sqlalchemy import ColumnElement, bindparam
from sqlmodel import Session, col, delete, func, select, update

from server.domain.base.errors import Conflict, NotFound
from server.domain.routine.routine import Routine
from server.domain.whole.exchange import to_json
from server.store.database import in_order_at_the_end, row_there
from server.store.readable import readable
from server.store.tables import RevisionRow, RoutineRow

REVISIONS_KEPT = 200

READ_KEPT = 32
"""States of routines that were read last: some hundred KB each where there is much to say."""

COMING_IN = 0
"""The head of a routine whose import is not through: it has no revision, so nothing shows it."""

_TOUCH = (
    update(RoutineRow)
    .where(col(RoutineRow.id) == bindparam("routine"))
    .values(change=col(RoutineRow.change) + 1)
)


@dataclass(frozen=True)
class StoredRoutine:
    """A routine with where it stands in its history.

    `undo_label` and `redo_label` say what would be taken back or done again; None if nothing.
    """

    routine: Routine
    change: int
    undo_label: str | None
    redo_label: str | None
    deleted: bool


def list_routines(
    session: Session, deleted: bool = False, within: Collection[str] | None = None
) -> list[Routine]:
    """The routines in the person's order; with `deleted`, the deleted ones, latest first.

    `within` are the ids of those that are wanted, None for all. One that cannot be read is not
    among them: `damaged_routines` tells of it.
    """
    gone = col(RoutineRow.deleted_ms)
    statement = (
        select(RevisionRow.document)
        .join(RoutineRow, _is_head())
        .where(gone.is_not(None) if deleted else gone.is_(None))
        .order_by(gone.desc() if deleted else col(RoutineRow.position))
    )
    if within is not None:
        statement = statement.where(col(RoutineRow.id).in_(within))
    read = (readable(Routine, document, "a list") for document in session.exec(statement))
    return [routine for routine in read if routine is not None]


def routine_ids(
    session: Session, most: int, called: str = "", within: Collection[str] | None = None
) -> list[str]:
    """The ids of the first routines in the person's order; with `called`, of those so called.

    `within` are the ids of those that are wanted, None for all.
    """
    gone = col(RoutineRow.deleted_ms)
    statement = select(RoutineRow.id).where(gone.is_(None)).where(RoutineRow.head != COMING_IN)
    statement = statement.order_by(col(RoutineRow.position))
    if within is not None:
        statement = statement.where(col(RoutineRow.id).in_(within))
    if not called:
        return list(session.exec(statement.limit(most)))
    # A name is quoted in a document as it is quoted here; it may stand elsewhere in one too.
    quoted = json.dumps(called, ensure_ascii=False)[1:-1]
    holds = col(RevisionRow.document).icontains(quoted, autoescape=True)
    ids = list(session.exec(statement.join(RevisionRow, _is_head()).where(holds)))
    routines = list_routines(session, within=ids)
    return [each.id for each in routines if called.casefold() in each.name.casefold()][:most]


def routines_under(session: Session, sheet_id: str, deleted: bool = False) -> list[Routine]:
    """The routines that are measured against a rule sheet; with `deleted`, the deleted ones."""
    return [each for each in list_routines(session, deleted) if each.rule_sheet_id == sheet_id]


def load_routine(session: Session, routine_id: str) -> StoredRoutine:
    """The routine with that id, with its history; a deleted one too. Raises NotFound."""
    row = routine_row(session, routine_id)
    labels: dict[int, tuple[str, str]] = {
        number: (label, document)
        for number, label, document in session.exec(
            select(RevisionRow.number, RevisionRow.label, RevisionRow.document)
            .where(RevisionRow.routine_id == routine_id)
            .where(col(RevisionRow.number).between(row.head - 1, row.head + 1))
        )
    }
    if row.head not in labels:
        raise NotFound("There is no such routine.")
    label, document = labels[row.head]
    return StoredRoutine(
        routine=_routine_in(document, routine_id),
        change=row.change,
        undo_label=label if row.head - 1 in labels else None,
        redo_label=labels[row.head + 1][0] if row.head + 1 in labels else None,
        deleted=row.deleted_ms is not None,
    )


def change_of(session: Session, routine_id: str) -> int:
    """The count of changes of everything shown with a routine. Raises NotFound."""
    change = session.exec(select(RoutineRow.change).where(RoutineRow.id == routine_id)).first()
    if change is None:
        raise NotFound("There is no such routine.")
    return change


def create_routine(session: Session, routine: Routine, now_ms: int) -> None:
    """Keep a new routine, at the top of the list. Raises Conflict if its id is taken."""
    row = session.get(RoutineRow, routine.id)
    if row is not None and row.head != COMING_IN:
        raise Conflict("A routine with this id is here already.")
    first = session.exec(select(func.min(RoutineRow.position))).one()
    row = row or RoutineRow(id=routine.id, position=0, head=COMING_IN)
    row.position, row.head = (first or 0) - 1, 1
    session.add(row)
    session.flush()
    _put_revision(session, routine, 1, "created", now_ms)


def reserve_routine(session: Session, routine_id: str) -> None:
    """Keep the place of a routine, unseen, while its runs come in before it."""
    session.add(RoutineRow(id=routine_id, position=0, head=COMING_IN))
    session.flush()


def edit_routine(
    session: Session,
    routine_id: str,
    change: Callable[[Routine], Routine],
    label: str,
    now_ms: int,
) -> Routine:
    """Save what `change` makes of the routine as a new revision, and return it.

    `label` says what was done ("Deleted “Pour”"). An edit that changes nothing leaves no trace.
    Raises NotFound, and whatever `change` raises.
    """
    row = routine_row(session, routine_id)
    before = _revision(session, routine_id, row.head)
    after = change(before)
    if after == before:
        return after
    session.exec(
        delete(RevisionRow)
        .where(col(RevisionRow.routine_id) == routine_id)
        .where(
            (col(RevisionRow.number) > row.head)
            | (col(RevisionRow.number) <= row.head - REVISIONS_KEPT)
        )
    )
    row.head += 1
    row.change += 1
    session.add(row)
    _put_revision(session, after, row.head, label, now_ms)
    return after


def undo_edit(session: Session, routine_id: str) -> None:
    """Make the revision before the head the head. Raises Conflict where there is none."""
    _move_head(session, routine_id, -1, "There is nothing to undo.")


def redo_edit(session: Session, routine_id: str) -> None:
    """Make the revision after the head the head. Raises Conflict where there is none."""
    _move_head(session, routine_id, +1, "There is nothing to do again.")


def delete_routine(session: Session, routine_id: str, now_ms: int) -> Routine:
    """Take a routine out of the list; its runs stay with it. Raises NotFound."""
    return _set_deleted(session, routine_id, now_ms)


def restore_routine(session: Session, routine_id: str) -> Routine:
    """Put a deleted routine back where it was. Raises NotFound."""
    return _set_deleted(session, routine_id, None)


def move_routine(
    session: Session, routine_id: str, to: int, within: Collection[str] | None = None
) -> None:
    """Put a routine at index `to` of the list. Raises NotFound, and Conflict if it is deleted.

    `within` are the ids of those that the list shows, None for all.
    """
    row = routine_row(session, routine_id)
    if row.deleted_ms is not None:
        raise Conflict("This routine was deleted. Bring it back first.")
    # The deleted ones are counted on with the others, so that they keep their places among them.
    settled = select(RoutineRow).where(col(RoutineRow.head) != COMING_IN)
    rows = list(session.exec(settled.order_by(col(RoutineRow.position))))
    rows.remove(row)
    listed = [
        index
        for index, each in enumerate(rows)
        if each.deleted_ms is None and (within is None or each.id in within)
    ]
    rows.insert((*listed, len(rows))[max(0, min(to, len(listed)))], row)
    for position, each in enumerate(rows):
        each.position = position
        session.add(each)


def touch_routine(session: Session, routine_id: str) -> None:
    """Count a change of something shown with the routine (a run, a rule sheet)."""
    touch_routines(session, {routine_id})


def touch_routines(session: Session, routine_ids: Collection[str]) -> None:
    """Count a change of something shown with each of these routines."""
    session.flush()
    in_order_at_the_end(session, routine_ids, _touch)


def _touch(session: Session, routine_ids: Sequence[str]) -> None:
    session.connection().execute(_TOUCH, [{"routine": each} for each in routine_ids])


def routine_row(session: Session, routine_id: str) -> RoutineRow:
    """The row of a routine. Raises NotFound."""
    return row_there(session, RoutineRow, routine_id, "There is no such routine.")


def _is_head() -> ColumnElement[bool]:
    same_routine = col(RevisionRow.routine_id) == col(RoutineRow.id)
    return same_routine & (col(RevisionRow.number) == col(RoutineRow.head))


def _revision(session: Session, routine_id: str, number: int) -> Routine:
    row = row_there(
        session, RevisionRow, (routine_id, number), "This state of the routine is no longer kept."
    )
    return _routine_in(row.document, routine_id)


@lru_cache(maxsize=READ_KEPT)
def _routine_in(document: str, routine_id: str) -> Routine:
    # Page after page shows the same state of the same routine, and a value is never changed.
    routine = readable(Routine, document, routine_id)
    if routine is None:
        raise Conflict(
            "This state of the routine cannot be read: it was damaged on the disk. The page of all "
            "routines has the last state that can be."
        )
    return routine


def _put_revision(session: Session, routine: Routine, number: int, label: str, now_ms: int) -> None:
    session.add(
        RevisionRow(
            routine_id=routine.id,
            number=number,
            label=label,
            saved_ms=now_ms,
            document=to_json(routine),
        )
    )


def _move_head(session: Session, routine_id: str, by: int, otherwise: str) -> None:
    row = routine_row(session, routine_id)
    if session.get(RevisionRow, (routine_id, row.head + by)) is None:
        raise Conflict(otherwise)
    _revision(session, routine_id, row.head + by)
    row.head += by
    row.change += 1
    session.add(row)


def _set_deleted(session: Session, routine_id: str, deleted_ms: int | None) -> Routine:
    row = routine_row(session, routine_id)
    row.deleted_ms = deleted_ms
    row.change += 1
    session.add(row)
    return _revision(session, routine_id, row.head)
