"""How a segment went run by run, as tiny columns that hang from its plan: down is longer."""

from dataclasses import dataclass

from markupsafe import Markup

from server.domain.base.durations import format_clock
from server.domain.runs.against_plan import SegmentCourse
from server.web.frame.filters import apart

HALF = 15.0
"""Pixels that the longest column hangs down; a shorter time stands up by as much at most."""

LEAST_REACH_S = 4.0
MOST_REACH_S = 8.0
STEP = 16


@dataclass(frozen=True)
class RunBar:
    """A run on the picture: from the plan down for longer, up for shorter; in pixels."""

    x: float
    y: float
    height: float
    is_over: bool
    is_late: bool
    """Whether it is one of the runs that grew."""


@dataclass(frozen=True)
class CourseRow:
    """A segment against its plan, as a line of the page."""

    course: SegmentCourse
    last: str
    words: str
    bars: tuple[RunBar, ...]
    told: str
    propose: str

    @property
    def drawing(self) -> Markup:
        """Its bars as rectangles; prepared as text, for a page has forty segments of six runs."""
        drawn = [
            f'<rect x="{bar.x}" y="{bar.y}" width="12" height="{bar.height}" '
            f'class="{"over" if bar.is_over else "under"}{" late" if bar.is_late else ""}"/>'
            for bar in self.bars
        ]
        return Markup("".join(drawn))  # noqa: S704  (numbers and words of ours)


def course_row(course: SegmentCourse, reach_s: float) -> CourseRow:
    """The line of a segment; `reach_s` is the most that any of them is off, so that all compare."""
    scale = HALF / min(MOST_REACH_S, max(LEAST_REACH_S, reach_s))
    late = len(course.over_s) - 3 if course.proposed_s is not None else len(course.over_s)
    bars = [
        _bar(n, over, scale, is_late=n >= late)
        for n, over in enumerate(course.over_s)
        if over is not None
    ]
    told = ", ".join(apart(each, tenths=True) for each in course.over_s)
    return CourseRow(
        course=course,
        last=apart(course.last_s, tenths=True) if course.last_s is not None else "not marked",
        words="longer" if course.proposed_s is not None and course.way != "growing" else course.way,
        bars=tuple(bars),
        told=told,
        propose="" if course.proposed_s is None else format_clock(course.proposed_s),
    )


def _bar(n: int, over_s: float, scale: float, *, is_late: bool) -> RunBar:
    height = min(HALF, abs(over_s) * scale)
    is_over = over_s >= 0
    y = HALF + 1 if is_over else HALF + 1 - height
    return RunBar(n * STEP + 2, round(y, 1), round(max(height, 0.5), 1), is_over, is_late)
