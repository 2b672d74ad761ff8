"""When the events of a run arrived: what the server knows of the clocks of others."""

from dataclasses import dataclass

from sqlmodel import Session

from server.domain.runs.clock import elapsed_times, in_order
from server.domain.runs.events import Event
from server.domain.runs.holding import started_by_arrival
from server.store.run_logs import arrivals_after, event_of
from server.store.runs import require_run


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
    require_run(session, run_id)
    arrived = arrivals_after(session, run_id, 0)
    events = tuple(event_of(each.document) for each in arrived)
    received_ms: dict[str, int] = {}
    heard_ms: dict[str, int] = {}
    for event, each in zip(events, arrived, strict=True):
        received_ms[event.id] = each.received_ms
        heard_ms[event.device_id] = max(heard_ms.get(event.device_id, 0), each.received_ms)
    log = in_order(events)
    return Arrivals(events, started_by_arrival(log, elapsed_times(log), received_ms), heard_ms)
