"""What all runs of a routine say of one thing, without reading the rest of them."""

from collections.abc import Collection
from typing import Any

from sqlalchemy import Row
from sqlmodel import Session, col, select

from server.domain.runs.counting import Tally, counts
from server.domain.runs.labels import Occasion
from server.domain.runs.moment import moment_ms
from server.store.run_rows import occasion_of
from server.store.tables import RunRow


def list_occasions(session: Session, routine_id: str) -> list[Occasion]:
    """Where and how the runs of a routine were made, oldest first, for those that say so."""
    statement = (
        select(RunRow.occasion)
        .where(RunRow.routine_id == routine_id)
        .where(col(RunRow.deleted_ms).is_(None))
        .where(col(RunRow.occasion).is_not(None))
        .order_by(col(RunRow.started_ms), col(RunRow.created_ms))
    )
    return [occasion_of(text) for text in session.exec(statement)]


def plan_keys(session: Session, routine_id: str) -> dict[str, str]:
    """Run id -> the key of the plan it was run against, for runs that are not deleted."""
    statement = (
        select(RunRow.id, RunRow.plan_key)
        .where(RunRow.routine_id == routine_id)
        .where(col(RunRow.deleted_ms).is_(None))
    )
    return dict(session.exec(statement).all())


_TALLIED = (
    RunRow.routine_id, RunRow.status, RunRow.total_ms, RunRow.excluded, RunRow.doubt,
    RunRow.source, RunRow.started_ms, RunRow.created_ms, RunRow.id,
)  # fmt: skip


def tally_runs(session: Session, within: Collection[str] | None = None) -> dict[str, Tally]:
    """Routine id -> its runs that were started: how many count, and how the last of them went.

    `within` are the ids of the routines that are wanted, None for all.
    """
    statement = (
        select(*_TALLIED)  # type: ignore[call-overload]
        .where(col(RunRow.deleted_ms).is_(None))
        .where(RunRow.status != "waiting")
    )
    if within is not None:
        statement = statement.where(col(RunRow.routine_id).in_(within))
    found: dict[str, Tally] = {}
    for row in sorted(session.connection().execute(statement), key=_made):
        enters = counts(row.status, row.total_ms, row.excluded, row.doubt)
        found[row.routine_id] = found.get(row.routine_id, Tally()).with_run(enters, row.total_ms)
    return found


def _made(row: Row[Any]) -> tuple[int, int, str]:
    return moment_ms(row.source, row.started_ms, row.created_ms), row.created_ms, row.id
