"""Where in the routine time is lost: runs against the plan as it stands, segment by segment."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise
from statistics import median

from server.domain.routine.routine import Segment
from server.domain.runs.summary import RunLine

DUST_S = 0.05
"""What rounding to whole ms may leave of a sum; less than is shown."""


LEAST_REACH_S = 60.0


@dataclass(frozen=True)
class CourseStep:
    """What one segment adds to the total of a run beside its plan; seconds.

    `segment_id` is "" for the rest that no split tells of.
    """

    segment_id: str
    name: str
    longer_s: float


@dataclass(frozen=True)
class Waterfall:
    """The way from the planned total to that of a run."""

    planned_s: float
    steps: tuple[CourseStep, ...]
    total_s: float


def behind_plan(segments: Sequence[Segment], line: RunLine) -> tuple[float | None, ...]:
    """How far behind the plan a run was at the end of each segment; None where unknown.

    Seconds, negative ahead. A run of the same segments in the same order is read off its clock;
    one of another plan by adding up its splits, as far as they follow without a gap.
    """
    ends_ms, splits_ms = line.summary.ends_ms, line.summary.splits_ms
    likely_s = [segment.duration.likely_s for segment in segments]
    if _is_same_plan(segments, line):
        planned = accumulate(likely_s)
        ends = (ends_ms.get(segment.id) for segment in segments)
        return tuple(
            None if end is None else end / 1000 - at for end, at in zip(ends, planned, strict=True)
        )
    behind: list[float | None] = []
    so_far: float | None = 0.0
    for segment, planned_s in zip(segments, likely_s, strict=True):
        split = splits_ms.get(segment.id)
        so_far = None if split is None or so_far is None else so_far + split / 1000 - planned_s
        behind.append(so_far)
    return tuple(behind)


def usual_reach(courses: Sequence[Sequence[float | None]]) -> tuple[float, float]:
    """How far ahead and behind ordinary courses lead, the last one whatever it does; seconds.

    One that leads more than four times as far as the middle one, and more than a minute, is left
    out: a mishap of ten minutes would flatten all others in a picture.
    """
    furthest = [
        max((abs(each) for each in course if each is not None), default=0.0) for course in courses
    ]
    limit_s = max(LEAST_REACH_S, 4 * median(furthest)) if furthest else 0.0
    usual = [
        each
        for place, course in enumerate(courses)
        if furthest[place] <= limit_s or place == len(courses) - 1
        for each in course
        if each is not None
    ]
    return min([0.0, *usual]), max([0.0, *usual])


def waterfall(segments: Sequence[Segment], line: RunLine, old_names: dict[str, str]) -> Waterfall:
    """What each segment adds to the total of a finished run; the steps lead from plan to total."""
    splits_ms = line.summary.splits_ms
    total_s = (line.total_ms or 0) / 1000
    planned_s = sum(segment.duration.likely_s for segment in segments)
    planned = {segment.id for segment in segments}
    steps = [
        CourseStep(each.id, each.name, splits_ms[each.id] / 1000 - each.duration.likely_s)
        for each in segments
        if each.id in splits_ms
    ]
    steps += [
        CourseStep(key, old_names.get(key, "a former segment"), split / 1000)
        for key, split in splits_ms.items()
        if key not in planned
    ]
    rest_s = total_s - planned_s - sum(step.longer_s for step in steps)
    if abs(rest_s) > DUST_S:
        steps.append(CourseStep("", "not marked", rest_s))
    return Waterfall(planned_s, tuple(steps), total_s)


def _is_same_plan(segments: Sequence[Segment], line: RunLine) -> bool:
    """Whether a run's marks can be those of today's plan: none of another, none out of order."""
    place = {segment.id: n for n, segment in enumerate(segments)}
    marked = [place.get(key, -1) for key in line.summary.ends_ms]
    return -1 not in marked and all(a < b for a, b in pairwise(marked))
