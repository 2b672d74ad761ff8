"""The plan: a routine laid into its slot, second by second.

Segments wait for one another as `lanes` tells; a process runs beside them, and nobody waits for one
that is late: that it is late is shown. Times are seconds on the elapsed clock.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from graphlib import TopologicalSorter
from typing import Annotated

from pydantic import Field

from server.domain.base.documents import Document
from server.domain.routine.lanes import Waits, waits_of
from server.domain.routine.preparing import Phase
from server.domain.routine.routine import Process, Routine, Segment, Spread
from server.domain.routine.rules import RuleSheet

PHASES: dict[Phase, str] = {"set_up": "Setting up", "clear": "Clearing away"}
"""What is timed outside the slot -> the words for it."""


@dataclass(frozen=True)
class RoutinePart(Document):
    """Which segments of a routine a plan holds: first and last by number from 1, of so many.

    With `phase` they are none of the slot, but those of setting up or of clearing away.

    >>> [RoutinePart(*part).words for part in ((11, 13, 17), (4, 4, 17), (1, 3, 3, "clear"))]
    ['part: 11 to 13', 'part: 4', 'clearing away']
    """

    first: Annotated[int, Field(ge=1)]
    last: Annotated[int, Field(ge=1)]
    of: Annotated[int, Field(ge=1)]
    phase: Phase | None = None

    @property
    def words(self) -> str:
        """What a list of runs says of it."""
        if self.phase is not None:
            return PHASES[self.phase].lower()
        return f"part: {self.first}" + (f" to {self.last}" if self.last > self.first else "")


@dataclass(frozen=True)
class Plan(Document):
    """A routine with the rule sheet it is measured against: what a run freezes.

    `part` says which segments of the routine these are; None for the whole.
    """

    routine: Routine
    rules: RuleSheet
    part: RoutinePart | None = None


@dataclass(frozen=True)
class PlacedSegment:
    """A segment with the time it is planned to start and end."""

    segment: Segment
    start_s: float
    end_s: float


@dataclass(frozen=True)
class PlacedProcess:
    """A process with its planned times; None where the link it hangs on is missing.

    `ready_low_s`, `ready_s` and `ready_high_s` follow the lowest, likely and highest duration;
    `due_s` is the start of the segment that needs it; `margin_s` is `due_s - ready_s`.
    """

    process: Process
    start_s: float | None
    ready_low_s: float | None
    ready_s: float | None
    ready_high_s: float | None
    due_s: float | None

    @property
    def margin_s(self) -> float | None:
        """Seconds between the likely readiness and the moment it is needed."""
        return None if self.due_s is None or self.ready_s is None else self.due_s - self.ready_s


@dataclass(frozen=True)
class Layout:
    """A plan placed on the elapsed clock."""

    segments: tuple[PlacedSegment, ...]
    processes: tuple[PlacedProcess, ...]
    total_s: float
    total_low_s: float
    total_high_s: float


def layout(routine: Routine) -> Layout:
    """Every segment and process of `routine` at its planned time."""
    waiting = _Waiting.of(routine.segments)
    placed = waiting.placed(lambda duration: duration.likely_s)
    return Layout(
        segments=placed,
        processes=tuple(_place_process(process, placed) for process in routine.processes),
        total_s=_finish_s(placed),
        total_low_s=_finish_s(waiting.placed(lambda duration: duration.least_s)),
        total_high_s=_finish_s(waiting.placed(lambda duration: duration.most_s)),
    )


def place_segments(segments: Sequence[Segment]) -> tuple[PlacedSegment, ...]:
    """Each segment from the moment at which all that it waits for has happened."""
    return placed_by(segments, lambda duration: duration.likely_s)


def mark_steps(segments: Sequence[Segment]) -> dict[str, float]:
    """Segment id -> planned seconds from the mark before it to its own, in the order of the stage.

    That is its duration, unless it runs alongside others: a mark then comes when all before it are
    over as well. What a helper does is marked in passing, and takes no time of the presenter's.
    """
    placed = place_segments(segments)
    return steps_to(segments, {piece.segment.id: piece.end_s for piece in placed})


def steps_to(segments: Sequence[Segment], ends_s: Mapping[str, float]) -> dict[str, float]:
    """The same steps for segments that end at these seconds, by id."""
    steps: dict[str, float] = {}
    marked_s = 0.0
    for segment in segments:
        own_s = marked_s if segment.helper else max(marked_s, ends_s[segment.id])
        steps[segment.id] = own_s - marked_s
        marked_s = own_s
    return steps


def placed_by(
    segments: Sequence[Segment], lasts_s: Callable[[Spread], float]
) -> tuple[PlacedSegment, ...]:
    """The same where each segment takes the seconds that `lasts_s` reads from its duration."""
    return _Waiting.of(segments).placed(lasts_s)


@dataclass(frozen=True)
class _Waiting:
    """Segments, what each waits for, and an order in which each stands behind all of that."""

    segments: Sequence[Segment]
    waits: Mapping[str, Waits]
    order: tuple[str, ...]

    @classmethod
    def of(cls, segments: Sequence[Segment]) -> "_Waiting":
        waits = waits_of(segments)
        # Only what a helper does may wait for something further down the list.
        awaited = {each: (*wait.after, *wait.with_start_of) for each, wait in waits.items()}
        return cls(segments, waits, tuple(TopologicalSorter(awaited).static_order()))

    def placed(self, lasts_s: Callable[[Spread], float]) -> tuple[PlacedSegment, ...]:
        durations_s = {each.id: lasts_s(each.duration) for each in self.segments}
        starts_s: dict[str, float] = {}
        ends_s: dict[str, float] = {}
        for each in self.order:
            starts_s[each] = self.waits[each].start_s(starts_s, ends_s)
            ends_s[each] = starts_s[each] + durations_s[each]
        return tuple(
            PlacedSegment(each, starts_s[each.id], ends_s[each.id]) for each in self.segments
        )


def _finish_s(placed: Sequence[PlacedSegment]) -> float:
    return max((piece.end_s for piece in placed), default=0.0)


def _place_process(process: Process, placed: Sequence[PlacedSegment]) -> PlacedProcess:
    ends = {piece.segment.id: piece.end_s for piece in placed}
    starts = {piece.segment.id: piece.start_s for piece in placed}
    start_s = ends.get(process.after_segment_id or "")
    due_s = starts.get(process.before_segment_id or "")
    if start_s is None:
        return PlacedProcess(process, None, None, None, None, due_s)
    return PlacedProcess(
        process=process,
        start_s=start_s,
        ready_low_s=start_s + process.duration.least_s,
        ready_s=start_s + process.duration.likely_s,
        ready_high_s=start_s + process.duration.most_s,
        due_s=due_s,
    )
