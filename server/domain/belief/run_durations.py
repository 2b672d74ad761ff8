"""How long each segment and process of a run took, as far as its marks tell.

A mark says when a segment was over; how long it took follows from what it had to wait for by the
plan that the run was made with:

* A segment alongside another whose mark comes with the mark before it was over by then, and that
  is all the mark says: its duration stays unmeasured. So does what a helper does, which nobody
  on stage can mark at its end.
* A segment that waited for a late process began when that was ready. Where a fallback may have
  been taken instead, the split is left out. A process that nobody marked ready tells of no wait,
  unless plan B takes time of its own: else a run kept on paper taught nothing of that segment.
* A split that the person left out tells nothing; what comes after it begins at its mark all the
  same.
"""

from collections.abc import Mapping, Sequence

from server.domain.base.memo import Memo
from server.domain.routine.lanes import Waits, waits_of
from server.domain.routine.routine import Process, Segment
from server.domain.runs.summary import RunLine

RUNS_KEPT = 1024
"""About 5 KB each where runs have 40 segments."""

_known = Memo[str, tuple[Sequence[Segment], Sequence[Process], RunLine], Mapping[str, float]](
    RUNS_KEPT
)

TOGETHER_MS = 1500
"""Assumption, no source: two marks this close were made at once."""


class WaitsOfPlans:
    """Who waits for whom in each plan of many runs: worked out once where runs share a plan."""

    def __init__(self) -> None:
        self._kept: dict[int, tuple[Sequence[Segment], Mapping[str, Waits]]] = {}

    def of(self, segments: Sequence[Segment]) -> Mapping[str, Waits]:
        """Id -> what that segment waits for."""
        # Runs of one plan share the very tuple, which lives on here: telling whether two plans are
        # equal takes longer than working them out.
        kept = self._kept.get(id(segments))
        if kept is None:
            kept = self._kept[id(segments)] = segments, waits_of(segments)
        return kept[1]


def durations_s(
    segments: Sequence[Segment],
    processes: Sequence[Process],
    line: RunLine,
    waits: Mapping[str, Waits] | None = None,
) -> Mapping[str, float]:
    """Id -> how long each segment and process of a run took, where its marks tell (s).

    `segments` are those of the plan that the run was made with, in their order; `waits` are theirs
    where they are known.
    """
    # Asked by all that learns from runs, of the same hundreds of runs after every change of one.
    basis = segments, processes, line
    return _known.of(line.id, basis, lambda: _durations_s(*basis, waits or waits_of(segments)))


def _durations_s(
    segments: Sequence[Segment],
    processes: Sequence[Process],
    line: RunLine,
    waits: Mapping[str, Waits],
) -> dict[str, float]:
    ends_ms = line.summary.ends_ms
    held = {each.before_segment_id: each for each in processes if _is_late(each, line)}
    found: dict[str, float] = {}
    starts_ms: dict[str, int | None] = {}
    before_ms: int | None = 0
    for segment in segments:
        start_ms = _start_ms(waits[segment.id], starts_ms, ends_ms)
        if segment.id in held:
            start_ms = _released_ms(held[segment.id], line, start_ms)
        starts_ms[segment.id], end_ms = start_ms, ends_ms.get(segment.id)
        together = end_ms is None or before_ms is None or end_ms - before_ms < TOGETHER_MS
        is_told = not segment.helper and not (segment.alongside and together)
        is_told = is_told and segment.id not in line.occasion.left_out
        if start_ms is not None and end_ms is not None and end_ms >= start_ms and is_told:
            found[segment.id] = (end_ms - start_ms) / 1000
        before_ms = end_ms
    for process in processes:
        if process.id in line.summary.process_ms:
            found[process.id] = line.summary.process_ms[process.id] / 1000
    return found


def _start_ms(
    waits: Waits, starts_ms: Mapping[str, int | None], ends_ms: Mapping[str, int]
) -> int | None:
    """When a segment began; None where a mark that tells it is missing."""
    if not waits.with_start_of and len(waits.after) == 1:
        # Nearly all segments wait for one: those of a hundred runs are thousands.
        return ends_ms.get(waits.after[0])
    moments = [ends_ms.get(each) for each in waits.after]
    moments += [starts_ms.get(each) for each in waits.with_start_of]
    known = [moment for moment in moments if moment is not None]
    return max(known, default=0) if len(known) == len(moments) else None


def _is_late(process: Process, line: RunLine) -> bool:
    """Whether a segment waited for it, or took plan B; that nobody marked it tells neither."""
    summary = line.summary
    plan_b_s = process.patience_s + process.fallback_by_s + process.fallback_cost_s
    may_be_late = process.id in summary.process_ms or plan_b_s > 0
    return process.before_segment_id is not None and process.id in summary.missed and may_be_late


def _released_ms(process: Process, line: RunLine, start_ms: int | None) -> int | None:
    """When the segment that waited for a late process began; None where that is not known."""
    took_ms = line.summary.process_ms.get(process.id)
    began_ms = line.summary.ends_ms.get(process.after_segment_id or "")
    if process.has_fallback or took_ms is None or began_ms is None or start_ms is None:
        return None
    return max(start_ms, began_ms + took_ms)


def places_of(segments: Sequence[Segment], line: RunLine) -> tuple[str | None, ...]:
    """The segment of each incident of a run; None where that is not known."""
    known = {segment.id for segment in segments}
    places = line.summary.incident_segments
    found = tuple(each if each in known else None for each in places)
    return found + (None,) * (len(line.summary.incidents) - len(found))
