"""Remarks that the presenter called done: they are no longer listed among what to do next."""

from collections.abc import Collection

from sqlalchemy import delete
from sqlmodel import Session, col, select

from server.store.routines import touch_routine
from server.store.runs import row_of
from server.store.tables import EventRow, RunRow, SettledRemarkRow


def settle_remark(session: Session, run_id: str, remark_id: str) -> str:
    """Call a remark done; twice is as good as once. The id of its routine. Raises NotFound."""
    row = row_of(session, run_id)
    if session.get(SettledRemarkRow, (run_id, remark_id)) is None:
        session.add(SettledRemarkRow(run_id=run_id, remark_id=remark_id))
        touch_routine(session, row.routine_id)
    return row.routine_id


def unsettle_remark(session: Session, run_id: str, remark_id: str) -> str:
    """List a remark again. The id of its routine. Raises NotFound."""
    row = row_of(session, run_id)
    session.exec(
        delete(SettledRemarkRow).where(
            col(SettledRemarkRow.run_id) == run_id, col(SettledRemarkRow.remark_id) == remark_id
        )
    )
    touch_routine(session, row.routine_id)
    return row.routine_id


def settled_remarks(session: Session, run_ids: Collection[str]) -> set[tuple[str, str]]:
    """Run and remark of every one that is done, of these runs."""
    rows = session.exec(select(SettledRemarkRow).where(col(SettledRemarkRow.run_id).in_(run_ids)))
    return {(row.run_id, row.remark_id) for row in rows}


def remarked_runs(session: Session, routine_id: str) -> list[str]:
    """The runs of a routine of which watchers may have remarked something, oldest first."""
    # Of hundreds of runs few have notes: the others need not be folded.
    statement = (
        select(RunRow.id)
        .where(RunRow.routine_id == routine_id, col(RunRow.deleted_ms).is_(None))
        .where(
            select(EventRow.rev)
            .where(EventRow.run_id == RunRow.id)
            .where(col(EventRow.document).contains('"kind":"note"'))
            .exists()
        )
        .order_by(col(RunRow.started_ms), col(RunRow.created_ms), col(RunRow.id))
    )
    return list(session.exec(statement))
