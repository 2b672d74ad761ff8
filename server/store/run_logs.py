"""The logs of runs as they are stored, and what is derived from them."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from sqlalchemy import bindparam
from sqlmodel import Session, col, select, update

from server.domain.counting import doubt_of
from server.domain.events import Event
from server.domain.exchange import from_json, to_json
from server.domain.run import fold
from server.domain.summary import summarise
from server.store.plans import load_frame
from server.store.tables import EventRow, RunRow

# What runs for every mark is prepared: to build a statement costs as much as to run it.
_LOG = (
    select(EventRow.rev, EventRow.id, EventRow.document)
    .where(EventRow.run_id == bindparam("run_id"))
    .order_by(col(EventRow.rev))
)
_ARRIVED = (
    select(EventRow.rev, EventRow.document, EventRow.received_ms)
    .where(EventRow.run_id == bindparam("run_id"))
    .where(col(EventRow.rev) > bindparam("rev"))
    .order_by(col(EventRow.rev))
)
_DERIVED = update(RunRow).where(col(RunRow.id) == bindparam("run_id"))

DERIVATION = 3
"""Goes up when more is derived from a log than before: then all logs are read again at start."""


@dataclass(frozen=True)
class Arrival:
    """An event as it came: its place in the order of arrival, its document, and when."""

    rev: int
    document: str
    received_ms: int


def documents(session: Session, run_id: str) -> dict[str, str]:
    """Event id -> the event as it was sent, in order of arrival."""
    return {key: document for _, key, document in log_rows(session, run_id)}


def log_rows(session: Session, run_id: str) -> list[tuple[int, str, str]]:
    """The log of a run in order of arrival: rev, id and document of each event."""
    rows = session.connection().execute(_LOG, {"run_id": run_id})
    return [(row.rev, row.id, row.document) for row in rows]


def arrivals_after(session: Session, run_id: str, rev: int) -> list[Arrival]:
    """What arrived for a run after the event with this rev, in order."""
    rows = session.connection().execute(_ARRIVED, {"run_id": run_id, "rev": rev})
    return [Arrival(row.rev, row.document, row.received_ms) for row in rows]


def events_of(session: Session, run_id: str) -> tuple[Event, ...]:
    """The events of a run in order of arrival."""
    return tuple(map(event_of, documents(session, run_id).values()))


def derive(session: Session, run_id: str, plan_key: str, documents: Iterable[str]) -> None:
    """Fold the whole log again: a log is short, and folding in part could go wrong in part."""
    frame = load_frame(session, plan_key)
    state = fold(map(event_of, documents), frame.outline)
    derived = {
        "run_id": run_id,
        "status": state.status,
        "started_ms": state.started_wall_ms,
        "total_ms": state.total_ms,
        "doubt": doubt_of(state.status, state.total_ms, state.ends_ms, frame.planned_s),
        "summary": to_json(summarise(state, frame.outline)),
        "derived": DERIVATION,
    }
    session.connection().execute(_DERIVED, derived)


@lru_cache(maxsize=4096)
def event_of(document: str) -> Event:
    """The event in a stored document."""
    # The marks of a run under way are read again with each new one.
    return from_json(Event, document)


def derive_again(session: Session) -> int:
    """Derive anew what an older version derived; returns how many runs that were."""
    older = select(RunRow.id, RunRow.plan_key).where(RunRow.derived < DERIVATION)
    found = session.exec(older).all()
    for run_id, plan_key in found:
        derive(session, run_id, plan_key, documents(session, run_id).values())
    return len(found)
