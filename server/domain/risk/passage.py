"""Many slots moving forward through one network together.

Starts and ends are arrays with a value for each slot; the arithmetic is that of `times`, one
activity at a time for all slots.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from server.domain.belief.scores import Array
from server.domain.risk.activities import Activity, Fallback, Network

Flags = npt.NDArray[np.bool_]

_DUST_S = 1e-6


@dataclass(frozen=True)
class ActivityStep:
    """An activity by numbers: the row of its durations, the positions of what it waits for."""

    row: int
    ends: tuple[int, ...]
    starts: tuple[int, ...]
    needs: tuple[tuple[int, Fallback | None], ...]
    after_end: int | None
    """The activity whose end is always its start, as is so for most."""
    with_start: int | None
    """The activity whose start is always its start: that waits for all ends this one waits for."""


@dataclass(frozen=True, eq=False)
class Met:
    """How a needed process was met: when the presenter came, and when the way was free.

    `late` is None where it is always waited for.
    """

    arrival_s: Array
    ready_s: Array
    release_s: Array
    late: Flags | None

    @property
    def in_time(self) -> Flags:
        """Whether the product was ready when the presenter came for it."""
        return self.ready_s <= self.arrival_s + _DUST_S


def steps_of(network: Network, rows: Mapping[str, int]) -> tuple[ActivityStep, ...]:
    """The steps of a network whose durations stand in these rows."""
    at = {activity.id: n for n, activity in enumerate(network.activities)}
    # Of each activity a bit for every other that has always ended by its start.
    over: list[int] = []
    return tuple(_step(activity, at, rows, over) for activity in network.activities)


def _step(
    activity: Activity, at: Mapping[str, int], rows: Mapping[str, int], over: list[int]
) -> ActivityStep:
    ends = tuple(at[other] for other in activity.after)
    starts = tuple(at[other] for other in activity.with_start_of)
    by_starts = 0
    for other in starts:
        by_starts |= over[other]
    ended = by_starts
    for other in ends:
        ended |= over[other] | 1 << other
    over.append(ended)
    open_ends = [other for other in ends if not by_starts >> other & 1]
    is_alone = len(open_ends) + len(starts) == 1 and not activity.needs
    return ActivityStep(
        row=rows[activity.id],
        ends=ends,
        starts=starts,
        needs=tuple((at[need.process_id], need.fallback) for need in activity.needs),
        after_end=open_ends[0] if is_alone and open_ends else None,
        with_start=starts[0] if is_alone and starts else None,
    )


class NetworkPassage:
    """The way through a network; `starts` and `ends` go by position of the activity.

    `bases` (by position of a needing activity) are starts before the cost of fallbacks; `met`
    goes by position of the needing activity and of the process.
    """

    def __init__(self, network: Network, rows: Mapping[str, int]) -> None:
        self.steps = steps_of(network, rows)
        at = {activity.id: n for n, activity in enumerate(network.activities)}
        self.last = tuple(at[each] for each in network.last_ids)
        self.starts: list[Array] = []
        self.ends: list[Array] = []
        self.bases: dict[int, Array] = {}
        self.met: dict[tuple[int, int], Met] = {}
        self._width = 0

    def finish(self, durations_s: Array) -> Array:
        """The finish of each slot; afterwards the attributes hold how it came about."""
        width = durations_s.shape[1]
        if width != self._width:
            self._width, self.ends = width, list(np.empty((len(self.steps), width)))
        self.starts, self.bases, self.met = [], {}, {}
        rows, ends, starts = list(durations_s), self.ends, self.starts
        for position, step in enumerate(self.steps):
            if step.after_end is not None:
                start_s = ends[step.after_end]
            elif step.with_start is not None:
                start_s = starts[step.with_start]
            else:
                start_s = self._arrive(position, step)
            starts.append(start_s)
            np.add(start_s, rows[step.row], ends[position])
        if not self.last:
            return np.zeros(width)
        return _latest([self.ends[position] for position in self.last])

    def _arrive(self, position: int, step: ActivityStep) -> Array:
        """The start of an activity in each slot."""
        moments = [self.ends[other] for other in step.ends]
        moments += [self.starts[other] for other in step.starts]
        arrival_s = _latest(moments) if moments else np.zeros(self._width)
        if not step.needs:
            return arrival_s
        met = [self._meet(process, fallback, arrival_s) for process, fallback in step.needs]
        start_s = base_s = _latest([arrival_s, *(each.release_s for each in met)])
        for (process, fallback), each in zip(step.needs, met, strict=True):
            self.met[position, process] = each
            if fallback is not None and each.late is not None:
                start_s = start_s + fallback.cost_s * each.late
        self.bases[position] = base_s
        return start_s

    def _meet(self, process: int, fallback: Fallback | None, arrival_s: Array) -> Met:
        ready_s = self.ends[process]
        if fallback is None:
            return Met(arrival_s, ready_s, ready_s, None)
        limit_s = np.maximum(arrival_s + fallback.patience_s, fallback.by_s)
        return Met(arrival_s, ready_s, np.minimum(ready_s, limit_s), ready_s > limit_s)


def _latest(moments: list[Array]) -> Array:
    """The latest of each slot's moments; the very array where there is only one."""
    latest = moments[0]
    for number, moment in enumerate(moments[1:]):
        latest = np.maximum(latest, moment, out=latest if number else None)
    return latest
