"""Segments against the plan as it stands: how the latest runs went, and which way.

Times are seconds. Whether a time no longer holds, and what to plan instead, is decided in one
place for every page, `whole.segment_times`; here is told how it came about. A segment "grows" where
each of its last three runs took longer than every one of the runs before them, six at most. In
steady runs three in a row come out on top of six once in 84, on top of three once in 20.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import islice
from typing import Literal

from server.domain.routine.routine import Routine
from server.domain.runs.summary import RunLine

LATEST = 6
"""Runs of which the course is shown."""

LATE_RUNS = 3
EARLIER_RUNS = 6

Way = Literal["growing", "shrinking", "steady", ""]


@dataclass(frozen=True)
class SegmentCourse:
    """A segment over the latest counted runs; `number` is its place in the plan, from 1.

    `over_s` holds how much longer than planned each of the latest runs took, oldest first, None
    where it was not marked. `way` is empty with too few runs.
    """

    segment_id: str
    number: int
    name: str
    planned_s: float
    over_s: tuple[float | None, ...]
    way: Way
    proposed_s: float | None
    """What to plan instead, in whole seconds; None where the plan still holds."""

    @property
    def last_s(self) -> float | None:
        """How much longer than planned the last run took."""
        return self.over_s[-1] if self.over_s else None


def courses(
    routine: Routine, lines: Sequence[RunLine], proposed_s: Mapping[str, float]
) -> tuple[SegmentCourse, ...]:
    """A course for each segment of the plan, from the runs of `lines` (oldest first) that count.

    `proposed_s` holds what to plan instead (segment id -> s) where the plan no longer holds.
    """
    counted = [line.summary.splits_ms for line in lines if line.counts]
    latest = counted[-LATEST:]
    found = []
    for number, segment in enumerate(routine.segments, 1):
        planned_s = segment.duration.likely_s
        times_s = _last_times_s(segment.id, counted)
        splits = [splits_ms.get(segment.id) for splits_ms in latest]
        over_s = tuple(None if split is None else split / 1000 - planned_s for split in splits)
        found.append(
            SegmentCourse(
                segment.id,
                number,
                segment.name,
                planned_s,
                over_s,
                way_of(times_s),
                proposed_s.get(segment.id),
            )
        )
    return tuple(found)


def _last_times_s(segment_id: str, counted: Sequence[Mapping[str, int]]) -> list[float]:
    """The latest times of a segment, oldest first: as many as its way is told from."""
    marked = (each[segment_id] / 1000 for each in reversed(counted) if segment_id in each)
    return list(islice(marked, EARLIER_RUNS + LATE_RUNS))[::-1]


def that_matter(found: Sequence[SegmentCourse], most: int) -> tuple[SegmentCourse, ...]:
    """The courses worth a line: those with a time to change, the longest over plan
    first, then the furthest from plan last time.

    Nothing within half a second of its plan is among the latter. Of several lines the last is that
    of the segment furthest from its plan: what was lost most is never folded away.
    """
    asked = [each for each in found if each.proposed_s is not None]
    asked.sort(key=lambda each: each.planned_s - (each.proposed_s or 0.0))
    off = sorted(
        (each for each in found if each not in asked and abs(each.last_s or 0.0) >= 0.5),
        key=lambda each: -abs(each.last_s or 0.0),
    )
    kept = [*asked, *off][:most]
    furthest = max(found, key=lambda each: abs(each.last_s or 0.0), default=None)
    if furthest in off and furthest not in kept and most > 1:
        kept[-1] = furthest
    return tuple(kept)


def way_of(times_s: Sequence[float]) -> Way:
    """Which way the times of a segment went, oldest first.

    >>> way_of([40, 41, 40, 44, 45, 43]), way_of([44, 40, 41, 40, 45, 43])
    ('growing', 'steady')
    """
    earlier, late = times_s[:-LATE_RUNS][-EARLIER_RUNS:], times_s[-LATE_RUNS:]
    if len(earlier) < LATE_RUNS:
        return ""
    if min(late) > max(earlier):
        return "growing"
    return "shrinking" if max(late) < min(earlier) else "steady"
