"""A routine as its network sees it: segments in lanes, in their order, and processes beside them.

Who waits for whom among the segments is told in `server.domain.routine.lanes`. Beside that:

* A process starts at the end of one segment and is needed by another.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from server.domain.belief.history import Plan, PlannedPart
from server.domain.risk.activities import Activity, Fallback, Network, ProcessNeed, build
from server.domain.routine.estimate import TimeEstimate, estimate_of
from server.domain.routine.lanes import Lane, lanes_of, waits_of
from server.domain.routine.routine import Process, Routine


@dataclass(frozen=True)
class TimedSegment:
    """A segment: how long it is planned, and how long its words take where that is known."""

    id: str
    name: str
    planned: TimeEstimate
    lane: Lane = "both"
    voice_s: float | None = None
    alongside: bool = False
    after_ids: tuple[str, ...] = ()
    helper: bool = False

    @property
    def duration(self) -> TimeEstimate:
        """The longer of what the hands need and what the voice needs; both at once count once."""
        if self.voice_s is None or self.lane == "hands" or self.helper:
            return self.planned
        return self.planned.longer_of(self.voice_s)

    @property
    def lanes(self) -> tuple[str, ...]:
        """The lanes it occupies."""
        return lanes_of(self.lane, self.helper)


@dataclass(frozen=True)
class TimedProcess:
    """A parallel process; without a fallback its product is waited for, however long it takes."""

    id: str
    name: str
    duration: TimeEstimate
    after_id: str | None = None
    before_id: str | None = None
    fallback: Fallback | None = None


@dataclass(frozen=True)
class Parts:
    """Segments in their order on stage, and parallel processes."""

    segments: tuple[TimedSegment, ...] = ()
    processes: tuple[TimedProcess, ...] = ()

    @property
    def placed_processes(self) -> tuple[TimedProcess, ...]:
        """The processes that have a segment to start after."""
        return tuple(process for process in self.processes if process.after_id is not None)

    @property
    def estimates(self) -> dict[str, TimeEstimate]:
        """Id -> how long it is planned to take, of segments and placed processes."""
        durations = {segment.id: segment.duration for segment in self.segments}
        return durations | {each.id: each.duration for each in self.placed_processes}

    @property
    def likely_s(self) -> dict[str, float]:
        """Id -> its likely duration."""
        return {each: estimate.likely_s for each, estimate in self.estimates.items()}


@dataclass(frozen=True)
class KnownBeside:
    """What is known beside the routine itself, each by the id of a segment or process."""

    voice_s: Mapping[str, float] = field(default_factory=dict)
    """Segment -> seconds its words take at the presenter's pace."""
    process_times: Mapping[str, TimeEstimate] = field(default_factory=dict)
    """Process -> what a filtration or thermal model gives, instead of the planned duration."""
    fallbacks: Mapping[str, Fallback] = field(default_factory=dict)
    """Process -> what is done when it is late, instead of what the routine says."""


def parts_of(routine: Routine, beside: KnownBeside | None = None) -> Parts:
    """The parts of a routine, with what is known beside it."""
    known = beside or KnownBeside()
    segments = tuple(
        TimedSegment(
            id=segment.id,
            name=segment.name,
            planned=estimate_of(segment.duration),
            lane=segment.lane,
            voice_s=known.voice_s.get(segment.id),
            alongside=segment.alongside,
            after_ids=segment.after_ids,
            helper=segment.helper,
        )
        for segment in routine.segments
    )
    processes = tuple(
        TimedProcess(
            id=process.id,
            name=process.name,
            duration=known.process_times.get(process.id, estimate_of(process.duration)),
            after_id=process.after_segment_id,
            before_id=process.before_segment_id,
            fallback=known.fallbacks.get(process.id, fallback_of(process)),
        )
        for process in routine.processes
    )
    return Parts(segments, processes)


def network_of(parts: Parts) -> Network:
    """The network of `parts`; a process without a segment to start after is left out.

    Raises InvalidInput where parts wait for one another in a circle, and names them.
    """
    needs: dict[str, list[ProcessNeed]] = {}
    for process in parts.placed_processes:
        needs.setdefault(process.before_id or "", []).append(
            ProcessNeed(process.id, process.fallback)
        )
    return build([*_segments_in_lanes(parts, needs), *_beside(parts)])


def waits_as(parts: Parts, others: Parts) -> bool:
    """Whether both have the same network: they differ, if at all, in how long something takes."""
    return _links(parts) == _links(others)


def _links(parts: Parts) -> tuple[object, ...]:
    segments = [
        (each.id, each.name, each.lane, each.alongside, each.after_ids, each.helper)
        for each in parts.segments
    ]
    processes = [
        (each.id, each.name, each.after_id, each.before_id, each.fallback)
        for each in parts.processes
    ]
    return segments, processes


def _segments_in_lanes(parts: Parts, needs: Mapping[str, Sequence[ProcessNeed]]) -> list[Activity]:
    waits = waits_of(parts.segments)
    return [
        Activity(
            id=segment.id,
            name=segment.name,
            after=waits[segment.id].after,
            with_start_of=waits[segment.id].with_start_of,
            needs=tuple(needs.get(segment.id, ())),
        )
        for segment in parts.segments
    ]


def _beside(parts: Parts) -> list[Activity]:
    return [
        Activity(process.id, process.name, after=(process.after_id or "",), counts=False)
        for process in parts.placed_processes
    ]


def fallback_of(process: Process) -> Fallback | None:
    """What a routine says is done when a process is late; None where it is waited for.

    Where words alone say it, it is taken at once and costs nothing extra.
    """
    if not process.has_fallback:
        return None
    return Fallback(process.patience_s, process.fallback_by_s, process.fallback_cost_s)


def plan_of(parts: Parts) -> Plan:
    """The parts of a plan: what the presenter does, then helpers and processes beside."""
    helped = {segment.id for segment in parts.segments if segment.helper}
    segments = {segment.id for segment in parts.segments}
    return {
        each: PlannedPart(estimate, own=each in segments and each not in helped)
        for each, estimate in parts.estimates.items()
    }
