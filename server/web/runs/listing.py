"""What the page of all runs shows: strips, segments against the plan, and one run looked at."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from markupsafe import Markup
from sqlmodel import Session

from server.domain.base.number_words import count, in_words
from server.domain.routine.routine import Routine
from server.domain.routine.rules import RuleSheet
from server.domain.runs.against_plan import SegmentCourse, courses, that_matter
from server.domain.runs.compare import RunComparison, compare
from server.domain.runs.summary import RunLine
from server.domain.whole.segment_times import Takes
from server.store.goals import load_goal
from server.store.routines import StoredRoutine
from server.store.runs import list_runs, segment_names
from server.web.frame.editing import routine_context
from server.web.frame.forms import Form
from server.web.frame.guard import opened
from server.web.frame.shown import RoutinePage
from server.web.frame.telling import told
from server.web.plan.outlook import RISK, Outlooks
from server.web.runs.chosen import ChosenRun, chosen_run
from server.web.runs.claims_heard import HeardLine, heard_lines
from server.web.runs.course_bars import CourseRow, course_row
from server.web.runs.grouping import (
    LISTED,
    Earlier,
    SessionGroup,
    earlier_of,
    session_groups,
    session_values,
)
from server.web.runs.occasion_form import known_venues, offered_tags
from server.web.runs.place import OPEN, SHOWS
from server.web.runs.plan_time import planned_notice
from server.web.runs.run_words import headline, within_words
from server.web.runs.split_rows import run_rows
from server.web.runs.strips import Bed, RunStrip, StripMaker

LARGE = 6
"""The latest runs have a row each; the others are folded into one."""

TABLED = 50
"""The latest runs are rows of the table of splits unless all are asked for: more are not read."""

FIGURES = ("figures", "all-figures")

MATTER = 3
"""Segments that stand against the plan; the others are folded."""


@dataclass(frozen=True)
class AskedOfRuns:
    """What the address asks for beside the routine."""

    show: str = ""
    open: str = ""
    edit: str = ""
    deleted: str = ""
    ended: str = ""
    labelled: str = ""
    planned: str = ""


@dataclass(frozen=True)
class Labelling:
    """The form that labels the runs of a session."""

    group: SessionGroup
    form: Form
    tags: tuple[str, ...]
    venues: tuple[str, ...]


@dataclass(frozen=True)
class Figures:
    """All runs in figures."""

    compared: RunComparison
    rows: Markup
    listed: int
    """How many of the runs are rows."""
    heard: tuple[HeardLine, ...]
    planned_s: float


@dataclass(frozen=True, kw_only=True)
class RunsPage(RoutinePage, folder="runs"):
    """The page of all runs."""

    headline: str
    show: str
    counted: int
    last_ms: int | None
    bed: Bed
    large: tuple[RunStrip, ...]
    latest_words: str
    earlier: Earlier | None
    groups: tuple[SessionGroup, ...]
    more_groups: int
    """Sessions that are not listed."""
    labelling: Labelling | None
    open_lines: tuple[RunLine, ...]
    matter: tuple[CourseRow, ...]
    others: tuple[CourseRow, ...]
    others_words: str
    drawn_runs: str
    chosen: ChosenRun | None
    is_opened: bool
    figures: Figures | None
    just_ended: RunLine | None
    just_deleted: str
    labelled: int
    planned: str
    planned_id: str


def runs_page_of(
    session: Session,
    stored: StoredRoutine,
    outlooks: Outlooks,
    asked: AskedOfRuns,
    form: Form | None = None,
) -> RunsPage:
    """The page of all runs; `form` holds labels of a session that were typed and refused."""
    context = routine_context(session, stored, "runs")
    routine, rules = stored.routine, context["rules"]
    listed = list_runs(session, routine.id)
    lines = [line for line in listed if line.status != "waiting"]
    maker = StripMaker(routine, rules, lines, load_goal(session, routine.id).now)
    show = asked.show if asked.show in SHOWS else ""
    groups, more = _groups(lines, maker, rules, show)
    large = lines if show == "all" else lines[-LARGE:] if show in ("", *FIGURES) else []
    chosen = _chosen(lines, asked.open)
    takes, _ = told(RISK, lambda: outlooks.of(session, stored, rules, listed).takes)
    matter, others, others_words = _against_plan(routine, lines, takes or {})
    compared = _compared(session, routine, rules, lines)
    return RunsPage(
        **context,
        headline=headline(compared.runs),
        show=show,
        counted=compared.total.n if compared.total else 0,
        last_ms=round(compared.total.last) if compared.total else None,
        bed=maker.bed(),
        large=tuple(maker.strip(line) for line in reversed(large)),
        latest_words=f"Latest {in_words(len(large))}" if len(large) > 1 else "Latest",
        earlier=earlier_of(lines[:-LARGE], maker) if large and large is not lines else None,
        groups=groups,
        more_groups=more,
        labelling=_labelling(groups, lines, asked.edit, form),
        open_lines=tuple(line for line in lines if line.is_open),
        matter=matter,
        others=others,
        others_words=others_words,
        drawn_runs=_drawn_words(matter),
        chosen=None
        if chosen is None
        else chosen_run(session, chosen, rules, is_last=chosen is lines[-1]),
        is_opened=chosen is not None and asked.open == f"{OPEN}{chosen.id}",
        figures=_figures(routine, compared, listed, show) if show in FIGURES else None,
        just_ended=next(
            (line for line in lines if line.id == asked.ended and line.status == "abandoned"), None
        ),
        just_deleted="" if any(line.id == asked.deleted for line in listed) else asked.deleted,
        labelled=int(asked.labelled) if asked.labelled.isdecimal() else 0,
        planned=planned_notice(stored, asked.planned),
        planned_id=asked.planned,
    )


def _groups(
    lines: Sequence[RunLine], maker: StripMaker, rules: RuleSheet, show: str
) -> tuple[tuple[SessionGroup, ...], int]:
    if show not in ("sessions", "all-sessions"):
        return (), 0
    groups = session_groups(lines, maker, rules.slot_s)
    kept = groups if show == "all-sessions" else groups[:LISTED]
    return kept, len(groups) - len(kept)


def _labelling(
    groups: Sequence[SessionGroup], lines: Sequence[RunLine], edit: str, form: Form | None
) -> Labelling | None:
    group = next((each for each in groups if f"session-{each.key}" == edit), None)
    if group is None:
        return None
    occasions = [line.occasion for line in lines]
    start = opened(session_values(group.venue))
    return Labelling(group, form or start, offered_tags(occasions), known_venues(occasions))


def _chosen(lines: Sequence[RunLine], opened: str) -> RunLine | None:
    """The run that was opened; without one the last attempt."""
    asked = next((line for line in lines if opened == f"{OPEN}{line.id}"), None)
    attempts = [line for line in lines if line.is_attempt] or lines
    return asked or (attempts[-1] if attempts else None)


def _against_plan(
    routine: Routine, lines: Sequence[RunLine], takes: Mapping[str, Takes]
) -> tuple[tuple[CourseRow, ...], tuple[CourseRow, ...], str]:
    proposed_s = {
        key: each.proposed_s for key, each in takes.items() if each.proposed_s is not None
    }
    found = [each for each in courses(routine, lines, proposed_s) if each.over_s]
    matter = that_matter(found, MATTER)
    others = [each for each in found if each not in matter]
    reach_s = max(
        (abs(over) for each in matter for over in each.over_s if over is not None), default=0.0
    )
    return (
        tuple(course_row(each, reach_s) for each in matter),
        tuple(course_row(each, reach_s) for each in others),
        _others_words(matter, others),
    )


def _others_words(matter: Sequence[SegmentCourse], others: Sequence[SegmentCourse]) -> str:
    known = [abs(each.last_s) for each in others if each.last_s is not None]
    if not known:
        return count(len(others), "other segment") if others else ""
    who = count(len(others), "other") if matter else f"All {len(others)} segments"
    return f"{who} {within_words(max(known))}"


def _drawn_words(matter: Sequence[CourseRow]) -> str:
    runs = max((len(each.course.over_s) for each in matter), default=0)
    return f"and how the last {in_words(runs)} went" if runs > 1 else ""


def _compared(
    session: Session, routine: Routine, rules: RuleSheet, lines: list[RunLine]
) -> RunComparison:
    planned = {segment.id for segment in routine.segments}
    is_retired = any(not planned.issuperset(line.summary.ends_ms) for line in lines)
    old_names = segment_names(session, routine.id) if is_retired else {}
    return compare(routine, rules, lines, old_names)


def _figures(
    routine: Routine, compared: RunComparison, listed: Sequence[RunLine], show: str
) -> Figures:
    most = len(compared.runs) if show == "all-figures" else TABLED
    return Figures(
        compared=compared,
        rows=run_rows(compared, most),
        listed=min(most, len(compared.runs)),
        heard=heard_lines(routine, listed),
        planned_s=sum(each.duration.likely_s for each in routine.segments),
    )
