"""A run that was left open is ended from the desk, and may be taken up again.

Ending it is a takeover of its clock (see `holding`) at the present moment, so that whatever its
device had marked by then counts, however late it arrives: a finish that is still on its way stands
before this end.
"""

from collections.abc import Callable, Sequence

from server.domain.base.errors import InvalidInput
from server.domain.runs.clock import elapsed_times, in_order
from server.domain.runs.events import DESK, Event


def ending(
    events: Sequence[Event], started_ms: float | None, now_ms: int, new_id: Callable[[], str]
) -> tuple[Event, ...]:
    """The events that break a run off now.

    `started_ms` is when it started by the clock that says `now_ms`, None before it did. Raises
    InvalidInput for a run that was never started.
    """
    log = in_order(events)
    times = elapsed_times(log)
    if started_ms is None or not times:
        raise InvalidInput.of("run", "This run was never started.")
    # Past everything that is known to count, or the takeover would undo it.
    at_ms = max(now_ms - started_ms, max(times.values()) + 1, 0.0)
    boot_id, seq = new_id(), log[-1].seq + 1
    hold = Event(new_id(), DESK, boot_id, seq, "hold", now_ms, 0.0, at_ms=at_ms)
    return hold, Event(new_id(), DESK, boot_id, seq + 1, "abandon", now_ms, 0.0)


def going_on(events: Sequence[Event], now_ms: int, new_id: Callable[[], str]) -> tuple[Event, ...]:
    """The event that takes an end from the desk back; none where there is no such end."""
    log = in_order(events)
    ends = [event for event in log if event.kind == "abandon" and event.device_id == DESK]
    if not ends:
        return ()
    last = ends[-1]
    seq = log[-1].seq + 1
    return (
        Event(
            new_id(), DESK, last.boot_id, seq, "retract", now_ms, last.mono_ms, target_id=last.id
        ),
    )
