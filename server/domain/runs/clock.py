"""When each event of a run happened, by the clocks of the devices that held it.

The browser's mirror is in `static/js/run/fold.js`.
"""

from collections.abc import Iterable, Sequence

from server.domain.base.durations import LONGEST_MS
from server.domain.runs.events import OUT_OF_TIME, Event, start_of
from server.domain.runs.holding import chains


def in_order(events: Iterable[Event]) -> list[Event]:
    """The events in the order of the log, each id once."""
    by_id = {event.id: event for event in events}
    return sorted(by_id.values(), key=lambda event: (event.seq, event.id))


def elapsed_times(log: Sequence[Event]) -> dict[str, float]:
    """Event id -> ms elapsed since the start of the run, for each event from the start on.

    Within the page load that started the run the even clock decides. A later page load is tied to
    the run by the wall clock at its first event, corrected by the steps that were noticed, or by
    the moment that event names itself. Time never runs backwards from one event to the next.
    Where several devices took the clock each goes by its own (see `holding`). What watchers
    recorded stands where they saw it: their clocks say nothing of the run's.
    """
    start = start_of(log)
    if start is None:
        return {}
    times = {event.id: event.at_ms for event in log if event.is_watched and event.at_ms is not None}
    told = [event for event in log if not event.is_watched]
    for chain in chains(told[told.index(start) :]):
        times |= _chain_times(start, chain)
    return times


def _chain_times(start: Event, chain: Sequence[Event]) -> dict[str, float]:
    clock = ChainClock(start, is_own=start in chain)
    return {event.id: clock.time_of(event) for event in chain}


class ChainClock:
    """The run's clock along events whose times follow from one another, taken in their order.

    `is_own` is whether the start of the run is one of them.
    """

    def __init__(self, start: Event, *, is_own: bool) -> None:
        self._start = start
        self._anchors = {start.boot_id: (start.mono_ms, 0.0)} if is_own else {}
        self._wall_shift_ms = self._latest_ms = 0.0

    def time_of(self, event: Event) -> float:
        """The ms elapsed at the next event."""
        anchors, latest_ms = self._anchors, self._latest_ms
        step_ms = (event.step_ms or 0.0) if event.kind == "clock_step" else 0.0
        if event.cause == "set":
            self._wall_shift_ms += step_ms
        if event.kind in ("hold", "resume") and event.at_ms is not None:
            anchors[event.boot_id] = (event.mono_ms, max(event.at_ms, latest_ms))
        elif event.boot_id not in anchors:
            # Its wall clock already holds a sleep that this very event tells of.
            by_wall_ms = event.wall_ms - self._start.wall_ms - self._wall_shift_ms
            anchors[event.boot_id] = (event.mono_ms, max(by_wall_ms, latest_ms))
        elif event.cause == "sleep" and abs(step_ms) <= LONGEST_MS:
            # A jump of more than a day is no rest within a run: the even clock goes on.
            mono_ms, base_ms = anchors[event.boot_id]
            anchors[event.boot_id] = (mono_ms, base_ms + step_ms)
        mono_ms, base_ms = anchors[event.boot_id]
        at_ms = max(base_ms + (event.mono_ms - mono_ms), latest_ms)
        # What is written days later and on another device holds nothing back.
        if event.kind not in OUT_OF_TIME:
            self._latest_ms = at_ms
        return at_ms
