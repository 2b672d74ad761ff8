"""Practice as the belief takes it: runs in the order they were made, each with what it says."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from server.domain.routine.estimate import TimeEstimate


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
    where that is not known. `at_ms` orders runs and tells breaks (see `runs.moment`).
    """

    durations_s: Mapping[str, float]
    planned_s: Mapping[str, float] = field(default_factory=dict)
    incidents: tuple[str | None, ...] = ()
    total_s: float | None = None
    at_ms: int | None = None
    id: str = ""
    whole: bool = True
    """Whether all of the routine was run: of a part only the splits tell something."""


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
