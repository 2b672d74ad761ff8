"""Practice as the belief takes it: runs in the order they were made, each with what it says."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from server.domain.routine.estimate import TimeEstimate
from server.domain.runs.summary import RunLine

_DAY_MS = 86_400_000
CLOCK_OFF_MS = 2 * _DAY_MS
"""A run on stage whose device says a moment further than this from the server's is dated by the
server."""


@dataclass(frozen=True)
class PlannedPart:
    """A segment or process as planned.

    `own` says that the presenter does it: it follows the pace of the day and takes its time in
    the whole. Processes and what a helper does are not.
    """

    estimate: TimeEstimate
    own: bool = True


Plan = Mapping[str, PlannedPart]
"""Id of a segment or process -> how it is planned, in the order on stage."""


@dataclass(frozen=True)
class Run:
    """A finished run.

    `durations_s` (id -> s) holds what was measured; `planned_s` (id -> s) the likely times of the
    plan of that day, where known; `incidents` the id of the segment in which each happened, None
    where that is not known. `at_ms` orders runs and tells breaks (see `moment_ms`).
    """

    durations_s: Mapping[str, float]
    planned_s: Mapping[str, float] = field(default_factory=dict)
    incidents: tuple[str | None, ...] = ()
    total_s: float | None = None
    at_ms: int | None = None
    id: str = ""
    whole: bool = True
    """Whether all of the routine was run: of a part only the splits tell something."""


def moment_ms(line: RunLine) -> int:
    """When a run was made, as far as clocks can be believed; ms.

    A run on stage was made about when the server first heard of it; if the device's clock is days
    off that, the server is right. What is entered from paper is made when the person says, though
    not in the future.
    """
    started_ms, created_ms = line.started_ms, line.created_ms
    if started_ms is None:
        return created_ms
    late = line.source != "stage"
    early_ms = None if late else created_ms - CLOCK_OFF_MS
    if started_ms > created_ms + CLOCK_OFF_MS or (early_ms is not None and started_ms < early_ms):
        return created_ms
    return started_ms


def in_order(runs: Sequence[Run]) -> list[Run]:
    """Runs, the oldest first; one without a moment stays behind the one it was given behind.

    Runs of one moment go by their ids, so that the order they are given in does not matter.
    """
    keyed, last_ms = [], 0
    for place, run in enumerate(runs):
        last_ms = last_ms if run.at_ms is None else run.at_ms
        keyed.append((last_ms, run.at_ms is None, run.id, place, run))
    return [run for *_, run in sorted(keyed, key=lambda each: each[:4])]


def meant_s(then_s: float, now_s: float, usual_s: float) -> float:
    """What is left of a step of the plan beyond putting it right.

    So far as the plan moved towards what is done anyway, it tells nothing new.
    """
    step_s, gap_s = now_s - then_s, usual_s - then_s
    if step_s * gap_s <= 0:
        return step_s
    return 0.0 if abs(step_s) <= abs(gap_s) else step_s - gap_s
