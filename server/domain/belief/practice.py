"""From a routine and its runs, as the store gives them, to the plan and practice of a belief."""

from collections.abc import Sequence

from server.domain.belief.history import Plan, PlannedPart, Run, moment_ms
from server.domain.risk.measured import MOST_RUNS, PastRun, durations_s, places_of
from server.domain.risk.parts import Parts
from server.domain.routine.lanes import waits_of
from server.domain.routine.routine import Routine


def plan_of(parts: Parts) -> Plan:
    """The parts of a plan: what the presenter does, then helpers and processes beside."""
    helped = {segment.id for segment in parts.segments if segment.helper}
    segments = {segment.id for segment in parts.segments}
    return {
        each: PlannedPart(estimate, own=each in segments and each not in helped)
        for each, estimate in parts.estimates.items()
    }


def practice_of(routine: Routine, past: Sequence[PastRun]) -> tuple[Run, ...]:
    """The latest runs that count, in any order (see `history.in_order`)."""
    waits = waits_of(routine.segments)
    counted = [run for run in past if run.line.counts][-MOST_RUNS:]
    return tuple(
        Run(
            durations_s=durations_s(routine, waits, run.line),
            planned_s=run.planned_s,
            incidents=places_of(routine, run.line),
            total_s=None if run.line.total_ms is None else run.line.total_ms / 1000,
            at_ms=moment_ms(run.line),
            id=run.line.id,
        )
        for run in counted
    )
