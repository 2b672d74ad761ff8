"""Who holds the clock of a run, where more than one device says it does.

The device that starts a run holds its clock until another takes it over with a `hold`. Both may
be offline when that happens, and each goes on in its own log; when the logs meet nothing is
deleted, and what counts follows from the events alone:

* The first `start` in the order of the log is the run's; its device holds the clock from then on.
* A takeover happens at the elapsed time its `hold` names. From then until the next takeover only
  that device's marks count; of two takeovers the later one stands, by time and then by id.
* What the device before it had marked by then counts, however late it arrives.
* Notes and what is said of the run are no part of the clock: they count from wherever they come.

Each device's times follow from its own clocks. A log in which no second device claims the clock is
read as one, whoever wrote it. `static/js/run/holding.js` says the same for the browser.
"""

from bisect import bisect_right
from collections.abc import Mapping, Sequence
from itertools import takewhile

from server.domain.runs.events import OUT_OF_TIME, Event, start_of


def takeovers(log: Sequence[Event]) -> list[Event]:
    """The events by which a device other than the first says that it holds the clock."""
    start = start_of(log)
    first = start.device_id if start else None
    return [
        event
        for event in log
        if event.kind == "hold" or (event.kind == "start" and event.device_id != first)
    ]


def chains(log: Sequence[Event]) -> list[Sequence[Event]]:
    """The log, from its start on, in the parts whose times follow from one another."""
    if not takeovers(log):
        return [log]
    by_device: dict[str, list[Event]] = {}
    for event in log:
        by_device.setdefault(event.device_id, []).append(event)
    return list(by_device.values())


def holders(log: Sequence[Event], times: Mapping[str, float]) -> list[tuple[float, str]]:
    """When each holder took the clock (ms elapsed), and its device; empty before the start.

    `times` are the elapsed times of the log's events (see `clock.elapsed_times`).
    """
    start = start_of(log)
    if start is None:
        return []
    taken = sorted(
        (times[event.id], event.id, event.device_id)
        for event in log
        if event.kind == "hold" and event.id in times
    )
    return [(0.0, start.device_id), *((at_ms, device_id) for at_ms, _, device_id in taken)]


def started_by_arrival(
    log: Sequence[Event], times: Mapping[str, float], received_ms: Mapping[str, int]
) -> float | None:
    """When the run started, by the clock that stamped the arrival of its events; None before.

    No event arrives before it happens, so the least of arrival minus elapsed time is the closest
    bound. It needs no agreement between the wall clocks of two devices. Only the page load that
    started the run is asked, up to the first step of its clocks: there the even clock decides.
    """
    start = start_of(log)
    if start is None:
        return None
    own = [event for event in log if event.boot_id == start.boot_id and event.id in times]
    steady = takewhile(lambda event: event.kind != "clock_step", own)
    bounds = [
        received_ms[event.id] - times[event.id] for event in steady if event.kind not in OUT_OF_TIME
    ]
    return min(bounds)


def counted(log: Sequence[Event], times: Mapping[str, float]) -> list[Event]:
    """The events that count, in the order in which they do."""
    if not takeovers(log):
        return list(log)
    held = holders(log, times)
    begins = [at_ms for at_ms, _ in held]
    notes = {event.id for event in log if event.kind in OUT_OF_TIME}
    turns: list[tuple[int, Event]] = []
    for event in log:
        if event.id in notes or (event.kind == "retract" and event.target_id in notes):
            turns.append((len(held), event))
        elif event.id in times:
            turn = bisect_right(begins, times[event.id]) - 1
            if held[turn][1] == event.device_id:
                turns.append((turn, event))
    # Sorting is stable: within a turn the log of the one device keeps its order.
    return [event for _, event in sorted(turns, key=lambda each: each[0])]
