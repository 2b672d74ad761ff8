"""Folding a log that grows: from the last state on, where that comes to the same as anew.

A log of hours has thousands of events, and a mark must be stored before the next is made. Nearly
every event is the latest of its log by every order that counts, and changes nothing of what was
folded before; `Folding` takes such a one as it comes. After any other it folds the whole log anew:
an undo, a takeover, an event that arrives late. `run.fold` stays the rule, and a test holds both to
the same state for any log in any order.
"""

from collections.abc import Iterable, Sequence

from server.domain.runs.clock import ChainClock, elapsed_times, in_order
from server.domain.runs.events import Event, start_of
from server.domain.runs.holding import takeovers
from server.domain.runs.run import Outline, RunState, read

_MOVES_THE_CLOCK = ("start", "hold", "retract")
"""Kinds that change what counts of the events before."""


class Folding:
    """The log of a run, event by event as they arrive, and the state it folds to."""

    def __init__(self, outline: Outline, events: Iterable[Event] = ()) -> None:
        self._outline = outline
        self._events = {event.id: event for event in events}
        self._fold_anew()

    def __len__(self) -> int:
        return len(self._events)

    def __contains__(self, event_id: str) -> bool:
        return event_id in self._events

    @property
    def takeovers(self) -> Sequence[Event]:
        """The events by which another device took the clock, in the order of the log."""
        return self._takeovers

    def add(self, events: Iterable[Event]) -> None:
        """Add events; those whose id is known already change nothing."""
        fresh = {event.id: event for event in events if event.id not in self._events}
        self._events |= fresh
        # By their order: then each is the latest when its turn comes.
        if not all(self._take(event) for event in in_order(fresh.values())):
            self._fold_anew()

    def state(self) -> RunState:
        """The state of the run by now."""
        return self._marks.state()

    def _fold_anew(self) -> None:
        log = in_order(self._events.values())
        self._takeovers = takeovers(log)
        self._marks, self._retracted = read(log, elapsed_times(log), self._outline)
        told = [event for event in log if not event.is_watched]
        self._last_told = max(map(_place, told), default=None)
        self._last_seen = max((_seen(event) for event in log if event.is_watched), default=None)
        self._has_about = any(event.is_about for event in told)
        self._clock = None if self._takeovers else _clock_of(told)

    def _take(self, event: Event) -> bool:
        """Take one more event; False where the log must be folded anew."""
        is_back = (event.id, event.is_watched) in self._retracted
        if self._clock is None or event.kind in _MOVES_THE_CLOCK or is_back:
            return False
        return self._take_seen(event) if event.is_watched else self._take_told(event, self._clock)

    def _take_told(self, event: Event, clock: ChainClock) -> bool:
        if self._last_told is not None and _place(event) < self._last_told:
            return False
        is_about = event.is_about
        # What watchers saw, and what was written about incidents, is taken after all marks: what
        # stands in one list with those cannot come behind them.
        others = self._last_seen is not None or self._has_about
        if event.kind in ("incident", "note") and others and not is_about:
            return False
        self._last_told = _place(event)
        self._has_about |= is_about
        self._marks.take(event, clock.time_of(event))
        return True

    def _take_seen(self, event: Event) -> bool:
        if self._last_seen is not None and _seen(event) < self._last_seen:
            return False
        if event.kind in ("incident", "note") and self._has_about:
            return False
        self._last_seen = _seen(event)
        self._marks.take(event, event.at_ms or 0.0)
        return True


def _clock_of(told: Sequence[Event]) -> ChainClock | None:
    """The clock of a log that one device wrote, run to its end; None before the start."""
    start = start_of(told)
    if start is None:
        return None
    clock = ChainClock(start, is_own=True)
    for event in told[told.index(start) :]:
        clock.time_of(event)
    return clock


def _place(event: Event) -> tuple[int, str]:
    return event.seq, event.id


def _seen(event: Event) -> tuple[float, int, str]:
    return event.at_ms or 0.0, event.seq, event.id
