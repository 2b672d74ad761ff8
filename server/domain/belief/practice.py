"""From a routine and its runs, as the store gives them, to the practice of a belief."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from server.domain.belief.history import Run
from server.domain.belief.run_durations import WaitsOfPlans, durations_s, places_of
from server.domain.routine.routine import Routine, Segment
from server.domain.runs.moment import moment_ms
from server.domain.runs.summary import RunLine

MOST_RUNS = 100
"""The latest runs that are looked at: older ones tell of another presenter."""

RUNS_LEFT_AT_ONCE = 20
"""Older runs are left behind so many at a time: a new run is then folded into those before it,
where one that left with each new one would have all folded in anew."""


@dataclass(frozen=True)
class PastRun:
    """A run, and the plan of that day.

    `planned_s` is how long that plan gave each segment (id -> likely seconds); `segments` are its
    segments in their order, empty where they are those of today.
    """

    line: RunLine
    planned_s: Mapping[str, float]
    segments: tuple[Segment, ...] = ()


def practice_of(routine: Routine, past: Sequence[PastRun]) -> tuple[Run, ...]:
    """The latest runs that count, in any order (see `history.in_order`), with the parts that were
    practised among them: of many at least MOST_RUNS and fewer than RUNS_LEFT_AT_ONCE more."""
    counted = [run for run in past if run.line.splits_count]
    wholes = [place for place, run in enumerate(counted) if run.line.counts]
    left = max(len(wholes) - MOST_RUNS, 0) // RUNS_LEFT_AT_ONCE * RUNS_LEFT_AT_ONCE
    first = wholes[left] if left else 0
    waits = WaitsOfPlans()
    return tuple(_run(routine, run, waits) for run in counted[first:])


def _run(routine: Routine, past: PastRun, waits: WaitsOfPlans) -> Run:
    line = past.line
    segments = past.segments or routine.segments
    # With a split left out the whole took what nobody takes to be usual.
    is_usual = line.counts and not line.occasion.left_out
    return Run(
        durations_s=durations_s(segments, routine.processes, line, waits.of(segments)),
        planned_s=past.planned_s,
        incidents=places_of(segments, line),
        total_s=line.total_ms / 1000 if is_usual and line.total_ms is not None else None,
        at_ms=moment_ms(line.source, line.started_ms, line.created_ms),
        id=line.id,
        whole=line.counts,
    )
