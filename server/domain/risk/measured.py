"""What the lines of practice runs say about the durations of a plan as it stands now.

A mark says when a segment was over; how long it took follows from what it had to wait for:

* A segment alongside another whose mark comes with the mark before it was over by then, and that
  is all the mark says: its duration stays unmeasured. So does what a helper does, which nobody
  on stage can mark at its end.
* A segment that waited for a late process began when that was ready. Where a fallback may have
  been taken instead, the split is left out.
* A plan made shorter or longer since the run means to do the segment differently: earlier splits
  are moved by as much. So far as that is a step towards what was measured, the plan was only put
  right, and that part of the step moves nothing.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import median

from server.domain.risk.parts import fallback_of
from server.domain.risk.runs import MeasuredRun
from server.domain.routine.lanes import Waits, waits_of
from server.domain.routine.routine import Process, Routine
from server.domain.runs.summary import RunLine

TOGETHER_MS = 1500
"""Assumption, no source: two marks this close were made at once."""


MOST_RUNS = 100
"""The latest runs that are looked at: older ones tell of another presenter."""


@dataclass(frozen=True)
class PastRun:
    """A run and how long the plan of that day gave each segment (id -> likely seconds)."""

    line: RunLine
    planned_s: Mapping[str, float]


def measured_runs(
    routine: Routine, now_s: Mapping[str, float], past: Sequence[PastRun]
) -> tuple[MeasuredRun, ...]:
    """The latest runs that count as the model takes them, in the order given: oldest first.

    `now_s` is the likely duration of each segment as planned now.
    """
    counted = [run for run in past if run.line.counts][-MOST_RUNS:]
    waits = waits_of(routine.segments)
    durations = [durations_s(routine, waits, run.line) for run in counted]
    usual_s = _usual_s(durations)
    return tuple(
        MeasuredRun(_moved(found, run.planned_s, now_s, usual_s), places_of(routine, run.line))
        for run, found in zip(counted, durations, strict=True)
    )


def durations_s(routine: Routine, waits: Mapping[str, Waits], line: RunLine) -> dict[str, float]:
    """Id -> how long each segment and process of a run took, where its marks tell (s)."""
    ends_ms = line.summary.ends_ms
    held = {each.before_segment_id: each for each in routine.processes if _is_late(each, line)}
    found: dict[str, float] = {}
    starts_ms: dict[str, int | None] = {}
    before_ms: int | None = 0
    for segment in routine.segments:
        start_ms = _start_ms(waits[segment.id], starts_ms, ends_ms)
        if segment.id in held:
            start_ms = _released_ms(held[segment.id], line, start_ms)
        starts_ms[segment.id], end_ms = start_ms, ends_ms.get(segment.id)
        together = end_ms is None or before_ms is None or end_ms - before_ms < TOGETHER_MS
        is_told = not segment.helper and not (segment.alongside and together)
        if start_ms is not None and end_ms is not None and end_ms >= start_ms and is_told:
            found[segment.id] = (end_ms - start_ms) / 1000
        before_ms = end_ms
    for process in routine.processes:
        if process.id in line.summary.process_ms:
            found[process.id] = line.summary.process_ms[process.id] / 1000
    return found


def _start_ms(
    waits: Waits, starts_ms: Mapping[str, int | None], ends_ms: Mapping[str, int]
) -> int | None:
    """When a segment began; None where a mark that tells it is missing."""
    moments = [ends_ms.get(each) for each in waits.after]
    moments += [starts_ms.get(each) for each in waits.with_start_of]
    known = [moment for moment in moments if moment is not None]
    return max(known, default=0) if len(known) == len(moments) else None


def _is_late(process: Process, line: RunLine) -> bool:
    return process.before_segment_id is not None and process.id in line.summary.missed


def _released_ms(process: Process, line: RunLine, start_ms: int | None) -> int | None:
    """When the segment that waited for a late process began; None where that is not known."""
    took_ms = line.summary.process_ms.get(process.id)
    began_ms = line.summary.ends_ms.get(process.after_segment_id or "")
    if fallback_of(process) or took_ms is None or began_ms is None or start_ms is None:
        return None
    return max(start_ms, began_ms + took_ms)


def _usual_s(durations: Sequence[Mapping[str, float]]) -> dict[str, float]:
    values: dict[str, list[float]] = {}
    for found in durations:
        for each, seconds in found.items():
            values.setdefault(each, []).append(seconds)
    return {each: median(seconds) for each, seconds in values.items()}


def _moved(
    found: Mapping[str, float],
    then_s: Mapping[str, float],
    now_s: Mapping[str, float],
    usual_s: Mapping[str, float],
) -> dict[str, float]:
    moved = {}
    for each, seconds in found.items():
        planned_s = now_s.get(each, 0.0)
        step_s = meant_s(then_s.get(each, planned_s), planned_s, usual_s[each])
        moved[each] = max(seconds + step_s, 0.0)
    return moved


def meant_s(then_s: float, now_s: float, usual_s: float) -> float:
    """What is left of a step of the plan beyond putting it right.

    So far as the plan moved towards what is done anyway, it tells nothing new.
    """
    step_s, gap_s = now_s - then_s, usual_s - then_s
    if step_s * gap_s <= 0:
        return step_s
    return 0.0 if abs(step_s) <= abs(gap_s) else step_s - gap_s


def places_of(routine: Routine, line: RunLine) -> tuple[str | None, ...]:
    """The segment of each incident of a run; None where that is not known."""
    known = {segment.id for segment in routine.segments}
    places = line.summary.incident_segments
    found = tuple(each if each in known else None for each in places)
    return found + (None,) * (len(line.summary.incidents) - len(found))
