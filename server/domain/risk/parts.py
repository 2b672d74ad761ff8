"""A routine as its network sees it: segments in lanes, in their order, and processes beside them.

Who waits for whom:

* One person has one pair of hands and one voice: what uses the same lane follows in order.
* A segment waits for everything before it. That is the plain case, and the times then add up.
* A segment marked `alongside` starts with the segment before it, as soon as its own lane is free
  and what it is linked `after` is over: talk runs on while the hands do the next thing.
* A segment of a `helper` is done by other hands: what follows does not wait for it, unless linked.
* A process starts at the end of one segment and is needed by another.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from server.domain.risk.estimate import Estimate, estimate_of
from server.domain.risk.network import Activity, Fallback, Need, Network, build
from server.domain.routine import Lane, Routine

PRESENTER = ("hands", "voice")
HELPER = "helper"


@dataclass(frozen=True)
class TimedSegment:
    """A segment: how long it is planned, and how long its words take where that is known."""

    id: str
    name: str
    planned: Estimate
    lane: Lane = "both"
    voice_s: float | None = None
    alongside: bool = False
    after_ids: tuple[str, ...] = ()
    helper: bool = False

    @property
    def duration(self) -> Estimate:
        """The longer of what the hands need and what the voice needs; both at once count once."""
        if self.voice_s is None or self.lane == "hands" or self.helper:
            return self.planned
        return self.planned.longer_of(self.voice_s)

    @property
    def lanes(self) -> tuple[str, ...]:
        """The lanes it occupies."""
        if self.helper:
            return (HELPER,)
        return PRESENTER if self.lane == "both" else (self.lane,)


@dataclass(frozen=True)
class TimedProcess:
    """A parallel process; without a fallback its product is waited for, however long it takes."""

    id: str
    name: str
    duration: Estimate
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
    def estimates(self) -> dict[str, Estimate]:
        """Id -> how long it is planned to take, of segments and placed processes."""
        durations = {segment.id: segment.duration for segment in self.segments}
        return durations | {each.id: each.duration for each in self.placed_processes}

    @property
    def likely_s(self) -> dict[str, float]:
        """Id -> its likely duration."""
        return {each: estimate.likely_s for each, estimate in self.estimates.items()}


@dataclass(frozen=True)
class Beside:
    """What is known beside the routine itself, each by the id of a segment or process."""

    voice_s: Mapping[str, float] = field(default_factory=dict)
    """Segment -> seconds its words take at the presenter's pace."""
    process_times: Mapping[str, Estimate] = field(default_factory=dict)
    """Process -> what a filtration or thermal model gives, instead of the planned duration."""
    fallbacks: Mapping[str, Fallback] = field(default_factory=dict)
    """Process -> what is done when it is late; those not named here are waited for."""


def parts_of(routine: Routine, beside: Beside | None = None) -> Parts:
    """The parts of a routine, with what is known beside it."""
    known = beside or Beside()
    segments = tuple(
        TimedSegment(
            id=segment.id,
            name=segment.name,
            planned=estimate_of(segment.duration),
            lane=segment.lane,
            voice_s=known.voice_s.get(segment.id),
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
            fallback=known.fallbacks.get(process.id),
        )
        for process in routine.processes
    )
    return Parts(segments, processes)


def network_of(parts: Parts) -> Network:
    """The network of `parts`; a process without a segment to start after is left out.

    Raises InvalidInput where parts wait for one another in a circle, and names them.
    """
    needs: dict[str, list[Need]] = {}
    for process in parts.placed_processes:
        needs.setdefault(process.before_id or "", []).append(Need(process.id, process.fallback))
    activities = [
        replace(activity, needs=tuple(needs.get(activity.id, ())))
        for activity in _segments_in_lanes(parts)
    ]
    return build([*activities, *_beside(parts)])


def _segments_in_lanes(parts: Parts) -> list[Activity]:
    last: dict[str, str] = {}
    before: str | None = None
    activities = []
    for segment in parts.segments:
        awaited = segment.lanes if segment.alongside else (*PRESENTER, *segment.lanes)
        alongside = (before,) if segment.alongside and before is not None else ()
        activities.append(
            Activity(
                id=segment.id,
                name=segment.name,
                after=(*(last[lane] for lane in awaited if lane in last), *segment.after_ids),
                with_start_of=alongside,
            )
        )
        last |= dict.fromkeys(segment.lanes, segment.id)
        before = segment.id
    return activities


def _beside(parts: Parts) -> list[Activity]:
    return [
        Activity(process.id, process.name, after=(process.after_id or "",), counts=False)
        for process in parts.placed_processes
    ]
