"""When the events of a run arrived: what the server knows of the clocks of others."""

from dataclasses import dataclass

from sqlmodel import Session, col, select

from server.domain.events import Event
from server.domain.holding import started_by_arrival
from server.domain.run_clock import elapsed_times, in_order
from server.store.runs import run_events
from server.store.tables import EventRow


@dataclass(frozen=True)
class Arrivals:
    """The events of a run in order of arrival, and what their arrivals tell.

    `started_ms` is when the run started by the server's clock, None before the start; `heard_ms`
    is when the server last received an event of each device.
    """

    events: tuple[Event, ...]
    started_ms: float | None
    heard_ms: dict[str, int]


def arrivals(session: Session, run_id: str) -> Arrivals:
    """The events of a run and what their arrivals tell. Raises NotFound and Gone."""
    events = run_events(session, run_id)
    stamps = select(EventRow.id, EventRow.received_ms).where(col(EventRow.run_id) == run_id)
    received_ms = {row.id: row.received_ms for row in session.connection().execute(stamps)}
    log = in_order(events)
    heard_ms: dict[str, int] = {}
    for event in events:
        heard_ms[event.device_id] = max(heard_ms.get(event.device_id, 0), received_ms[event.id])
    return Arrivals(events, started_by_arrival(log, elapsed_times(log), received_ms), heard_ms)
