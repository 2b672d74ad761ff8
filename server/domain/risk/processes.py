"""Each parallel process in the plan: when it must be started, and how long its product waits."""

from collections.abc import Mapping
from dataclasses import dataclass

from server.domain.risk.model import Model
from server.domain.risk.parts import Parts, TimedProcess
from server.domain.risk.times import Schedule
from server.domain.routine.estimate import TimeEstimate


@dataclass(frozen=True)
class ProcessTimes:
    """A process in seconds on the elapsed clock; what hangs on a missing link is None.

    `latest_start_s` and `safe_start_s` are the latest starts with which it is ready when needed,
    at its likely and at its high duration; `safe_after_id` is the last segment at whose end that
    safe start is still kept. `waits_s` is how long its product stands before it is used, at the
    low, likely and high duration of the process.
    """

    id: str
    start_s: float
    ready_s: float
    due_s: float | None = None
    latest_start_s: float | None = None
    safe_start_s: float | None = None
    safe_after_id: str | None = None
    waits_s: tuple[float, float, float] | None = None

    @property
    def margin_s(self) -> float | None:
        """Seconds from being ready, at its likely duration, to being needed; negative if late."""
        return None if self.due_s is None else self.due_s - self.ready_s


def expected_processes(model: Model) -> tuple[ProcessTimes, ...]:
    """The placed processes as they are expected to run, which is where every page has them from."""
    return process_times(model.parts, model.expected, model.estimates)


def process_times(
    parts: Parts, plan: Schedule, estimates: Mapping[str, TimeEstimate] | None = None
) -> tuple[ProcessTimes, ...]:
    """The placed processes of `parts` in a schedule of theirs.

    `estimates` (by id) say how long they take where runs have shown that; else it is as planned.
    """
    known = parts.estimates if estimates is None else estimates
    return tuple(
        _times(process, known[process.id], parts, plan) for process in parts.placed_processes
    )


def _times(
    process: TimedProcess, lasts: TimeEstimate, parts: Parts, plan: Schedule
) -> ProcessTimes:
    own = plan.times[process.id]
    if process.before_id is None:
        return ProcessTimes(process.id, own.start_s, own.end_s)
    needed = plan.times[process.before_id]
    safe_start_s = needed.arrival_s - lasts.high_s
    return ProcessTimes(
        id=process.id,
        start_s=own.start_s,
        ready_s=own.end_s,
        due_s=needed.arrival_s,
        latest_start_s=needed.arrival_s - lasts.likely_s,
        safe_start_s=safe_start_s,
        safe_after_id=_last_ending_by(safe_start_s, parts, plan),
        waits_s=_waits(lasts, own.start_s, needed.start_s),
    )


def _last_ending_by(moment_s: float, parts: Parts, plan: Schedule) -> str | None:
    ended = [each.id for each in parts.segments if plan.times[each.id].end_s <= moment_s]
    return ended[-1] if ended else None


def _waits(lasts: TimeEstimate, start_s: float, used_s: float) -> tuple[float, float, float]:
    low, likely, high = (
        max(used_s - start_s - last_s, 0.0)
        for last_s in (lasts.low_s, lasts.likely_s, lasts.high_s)
    )
    return (low, likely, high)
