"""Earliest and latest times, slack and the critical chain of a network of known durations.

The forward and backward pass of the critical path method; total slack is latest start less
earliest start, free slack how late an activity may end without moving any other (Kelley and
Walker, "Critical-path planning and scheduling", 1959).
"""

from collections.abc import Mapping
from dataclasses import dataclass

from server.domain.risk.activities import Activity, Network

_DUST_S = 1e-6
"""Differences below this come from binary fractions, not from the plan."""


@dataclass(frozen=True)
class Times:
    """When an activity happens, in seconds on the elapsed clock.

    `arrival_s` is when the presenter is free for it; it starts later where a process is late.
    `latest_start_s` and `latest_end_s` are the last moments that do not move the finish. The
    latest end may lie further off than the latest start and the duration together, where something
    starts with the activity but does not wait for its end.
    """

    id: str
    arrival_s: float
    start_s: float
    end_s: float
    latest_start_s: float
    latest_end_s: float

    @property
    def slack_s(self) -> float:
        """How much later it may start without moving the finish: the total slack."""
        return self.latest_start_s - self.start_s

    @property
    def stretch_s(self) -> float:
        """How much longer it may take without moving the finish."""
        return self.latest_end_s - self.end_s

    @property
    def critical(self) -> bool:
        """Whether every delay of it moves the finish."""
        return self.slack_s < _DUST_S

    @property
    def waited_s(self) -> float:
        """How long the presenter stands waiting before it, a fallback's cost included."""
        return self.start_s - self.arrival_s


@dataclass(frozen=True)
class Schedule:
    """The times of all activities."""

    times: Mapping[str, Times]
    finish_s: float


@dataclass(frozen=True)
class _Early:
    """An activity on the way forward; arriving by `door_s` would not have moved its start."""

    arrival_s: float
    start_s: float
    end_s: float
    door_s: float


def schedule(network: Network, durations_s: Mapping[str, float]) -> Schedule:
    """All times of `network` where each activity takes the seconds given under its id."""
    early: dict[str, _Early] = {}
    fallen_back: set[str] = set()
    for activity in network.activities:
        early[activity.id] = _forward(activity, early, durations_s[activity.id], fallen_back)
    finish_s = max((early[each].end_s for each in network.last_ids), default=0.0)
    times = _backward(network, early, durations_s, finish_s, fallen_back)
    return Schedule(times, finish_s)


def _forward(
    activity: Activity, early: Mapping[str, _Early], duration_s: float, fallen_back: set[str]
) -> _Early:
    moments = [early[other].end_s for other in activity.after]
    moments += [early[other].start_s for other in activity.with_start_of]
    arrival_s = max(moments, default=0.0)
    start_s, door_s, cost_s = arrival_s, arrival_s, 0.0
    for need in activity.needs:
        ready_s = early[need.process_id].end_s
        limit_s = ready_s if need.fallback is None else need.fallback.limit_s(arrival_s)
        start_s = max(start_s, min(ready_s, limit_s))
        if need.fallback is None or ready_s <= limit_s:
            door_s = max(door_s, ready_s)
        else:
            door_s = max(door_s, need.fallback.by_s - need.fallback.patience_s)
            cost_s += need.fallback.cost_s
            fallen_back.add(need.process_id)
    door_s, start_s = min(door_s, start_s), start_s + cost_s
    return _Early(arrival_s, start_s, start_s + duration_s, door_s)


def _backward(
    network: Network,
    early: Mapping[str, _Early],
    durations_s: Mapping[str, float],
    finish_s: float,
    fallen_back: set[str],
) -> dict[str, Times]:
    # A process that nobody waits for (any more) may end whenever it likes.
    latest_ends = {each: max(finish_s, times.end_s) for each, times in early.items()}
    latest_starts = {each: latest_ends[each] - durations_s[each] for each in early}
    for activity in reversed(network.activities):
        each, own = activity.id, early[activity.id]
        latest_starts[each] = min(latest_starts[each], latest_ends[each] - durations_s[each])
        latest_door_s = latest_starts[each] - (own.start_s - own.door_s)
        waited = [need.process_id for need in activity.needs if need.process_id not in fallen_back]
        for other in (*activity.after, *waited):
            latest_ends[other] = min(latest_ends[other], latest_door_s)
        for other in activity.with_start_of:
            latest_starts[other] = min(latest_starts[other], latest_door_s)
    return {
        each: Times(
            each,
            times.arrival_s,
            times.start_s,
            times.end_s,
            latest_starts[each],
            latest_ends[each],
        )
        for each, times in early.items()
    }
