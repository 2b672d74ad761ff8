"""The logs of runs as they are stored, and what is derived from them."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache

from sqlalchemy import bindparam
from sqlmodel import Session, col, select, update

from server.domain.runs.counting import doubt_of
from server.domain.runs.events import Event
from server.domain.runs.run import RunState, fold
from server.domain.runs.summary import summarise
from server.domain.whole.exchange import from_json, to_json
from server.store.engines.driver_rows import DriverRows
from server.store.plans import PlanFrame, load_frame
from server.store.readable import is_document, readable
from server.store.tables import EventRow, RunRow

# What runs for every mark is prepared: to build a statement costs as much as to run it.
_ARRIVED = (
    select(EventRow.rev, EventRow.document, EventRow.received_ms)
    .where(EventRow.run_id == bindparam("run_id"))
    .where(col(EventRow.rev) > bindparam("rev"))
    .order_by(col(EventRow.rev))
)
_DERIVED = DriverRows(
    update(RunRow).where(col(RunRow.id) == bindparam("run_id")),
    "status", "started_ms", "total_ms", "doubt", "summary", "derived",
)  # fmt: skip

DERIVATION = 4
"""Goes up when something else is derived from a log than before: all are then read at start."""


@dataclass(frozen=True)
class Arrival:
    """An event as it came: its place in the order of arrival, its document, and when."""

    rev: int
    document: str
    received_ms: int


def arrivals_after(session: Session, run_id: str, rev: int) -> list[Arrival]:
    """What arrived for a run after the event with this rev, in order.

    A mark that was damaged on the disk is left out: it must not close the run to all others.
    """
    rows = session.connection().execute(_ARRIVED, {"run_id": run_id, "rev": rev})
    return [Arrival(row.rev, row.document, row.received_ms) for row in rows if _event(row.document)]


def last_arrival_ms(session: Session) -> int:
    """When the last mark of any run arrived; 0 where none ever did."""
    last = select(EventRow.received_ms).order_by(col(EventRow.rev).desc()).limit(1)
    return session.exec(last).first() or 0


def last_marked(session: Session) -> tuple[str, str] | None:
    """The run of which a mark arrived last, and its routine; None where none ever did."""
    statement = select(RunRow.id, RunRow.routine_id).join(EventRow)
    return session.exec(statement.order_by(col(EventRow.rev).desc()).limit(1)).first()


def events_of(session: Session, run_id: str) -> tuple[Event, ...]:
    """The events of a run in order of arrival."""
    return tuple(event_of(each.document) for each in arrivals_after(session, run_id, 0))


def derive(session: Session, run_id: str, plan_key: str, state: RunState) -> None:
    """Store what lists of runs show of a run's state."""
    derive_all(session, {run_id: derived_of(state, load_frame(session, plan_key))})


def derive_all(session: Session, derived: Mapping[str, dict[str, object]]) -> None:
    """Store what was derived of some runs."""
    rows = [{"run_id": run_id, **columns} for run_id, columns in derived.items()]
    _DERIVED.run(session.connection(), rows)


def derived_of(state: RunState, frame: PlanFrame) -> dict[str, object]:
    """The columns of a run that follow from its state."""
    doubt = doubt_of(state.status, state.total_ms, state.ends_ms, frame.planned_s)
    summary = summarise(state, frame.outline)
    if frame.part is not None:
        summary, doubt = replace(summary, part=frame.part, part_doubt=doubt), "part"
    return {
        "status": state.status,
        "started_ms": state.started_wall_ms,
        "total_ms": state.total_ms,
        "doubt": doubt,
        "summary": to_json(summary),
        "derived": DERIVATION,
    }


def event_of(document: str) -> Event:
    """The event in a stored document; for a damaged one raises as `from_json` does."""
    return _event(document) or from_json(Event, document)


@lru_cache(maxsize=16_384)
def _event(document: str) -> Event | None:
    # A run is looked at again and again by those who watch it.
    return readable(Event, document)


def derive_again(session: Session) -> int:
    """Derive anew what an older version derived, and what was damaged; how many runs that were."""
    is_old = col(RunRow.derived) < DERIVATION
    older = select(RunRow.id, RunRow.plan_key).where(
        is_old | ~is_document(session, col(RunRow.summary))
    )
    found = session.exec(older).all()
    for run_id, plan_key in found:
        outline = load_frame(session, plan_key).outline
        derive(session, run_id, plan_key, fold(events_of(session, run_id), outline))
    return len(found)
