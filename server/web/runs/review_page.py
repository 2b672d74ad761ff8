"""What the page of one run shows: how it went against its plan, and what was remarked of it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sqlmodel import Session

from server.domain.base.number_words import count
from server.domain.heard.marks import WHO as HEARD_BY
from server.domain.routine.plan import Layout, PlacedProcess, PlacedSegment, layout
from server.domain.routine.rules import RuleSheet
from server.domain.runs.compare import Verdict, verdict_on
from server.domain.runs.events import INCIDENTS, VERDICTS
from server.domain.runs.events import Verdict as Said
from server.domain.runs.points import PointsTable, points_table
from server.domain.runs.remark_lines import (
    SegmentRemarks,
    remarks_by_segment,
    segment_of_incident,
)
from server.domain.runs.run import IncidentState, NoteState, ProcessState
from server.domain.whole.exchange import SOURCES
from server.settings import Settings
from server.store.across_runs import list_occasions
from server.store.heard.takes import take_of_run
from server.store.routines import load_routine
from server.store.runs import StoredRun
from server.web.frame.editing import routine_context
from server.web.frame.filters import run_name
from server.web.frame.forms import Form
from server.web.frame.guard import opened
from server.web.frame.shown import RoutinePage
from server.web.runs.chosen import Noted, noted_of
from server.web.runs.occasion_form import known_venues, occasion_values, offered_tags
from server.web.runs.recordings import HeardRecording, heard_of
from server.web.runs.remarks import Seat, claim_labels, points_form
from server.web.runs.run_words import finish_then_words, within_words
from server.web.runs.strips import Bed, RunStrip, StripMaker

MATTER = 5
"""Splits that stand open; all others are folded."""

LEAST_OFF_S = 1.0
"""A split within a second of its plan needs no line of its own."""


@dataclass(frozen=True)
class SplitLine:
    """A segment of the run beside its plan; times in ms, None where not marked."""

    number: int
    placed: PlacedSegment
    end_ms: int | None
    split_ms: int | None
    left_out: bool = False
    """Whether the person took this split out of the figures."""

    @property
    def longer_s(self) -> float | None:
        """How much longer it took than planned."""
        if self.split_ms is None:
            return None
        return self.split_ms / 1000 - self.placed.segment.duration.likely_s

    @property
    def behind_s(self) -> float | None:
        """How far behind the plan the run was at its end."""
        return None if self.end_ms is None else self.end_ms / 1000 - self.placed.end_s


@dataclass(frozen=True)
class IncidentLine:
    """Something that went wrong, with the segment it happened in."""

    incident: IncidentState
    what: str
    segment: str


@dataclass(frozen=True)
class AskedOfRun:
    """What the address asks for beside the run: a form, a fold, the remark just taken away."""

    edit: str = ""
    open: str = ""
    taken: str = ""
    made: str = ""


@dataclass(frozen=True, kw_only=True)
class ReviewPage(RoutinePage, folder="review"):
    """The page of one run."""

    run: StoredRun
    name: str
    ended: str
    run_rules: RuleSheet
    verdict: Verdict | None
    bed: Bed
    strips: tuple[RunStrip, ...]
    """The plan of that day, and the run."""
    layout: Layout
    lines: tuple[SplitLine, ...]
    matter: tuple[SplitLine, ...]
    others_words: str
    noted: tuple[Noted, ...]
    processes: tuple[tuple[PlacedProcess, ProcessState], ...]
    incidents: tuple[IncidentLine, ...]
    noting: IncidentLine | None
    """The one whose note is being written."""
    own_notes: tuple[NoteState, ...]
    source: str
    form: Form
    tags: tuple[str, ...]
    venues: tuple[str, ...]
    heard: list[HeardRecording]
    edit: str
    open: str
    remarks: tuple[SegmentRemarks, ...]
    remarks_words: str
    verdicts: Mapping[Said, str]
    points: PointsTable
    points_form: Form
    desk: str
    taken: str
    take_id: str
    """The take that it was made of, or whose claims stand with it; "" for none."""
    just_made: bool


def review_page_of(
    session: Session,
    run: StoredRun,
    settings: Settings,
    seat: Seat,
    asked: AskedOfRun,
    form: Form | None = None,
    points: Form | None = None,
) -> ReviewPage:
    """The page of a run; the forms hold what was typed and refused."""
    stored = load_routine(session, run.routine_id)
    occasions = list_occasions(session, run.routine_id)
    tags = offered_tags(occasions)
    plan, rules, state = run.plan.routine, run.plan.rules, run.state
    placed = layout(plan)
    maker = StripMaker(plan, rules, [run.line])
    lines = _lines(run, placed)
    matter, incidents = _matter(lines), _incidents(run)
    remarks = remarks_by_segment(state, [part.id for part in plan.segments], claim_labels(run))
    name = run.record.label or f"Run of {run_name(run.line)}"
    context = routine_context(session, stored, "runs")
    return ReviewPage(
        **context,
        run=run,
        name=name,
        ended=finish_then_words(run.line, rules, context["rules"]),
        run_rules=rules,
        verdict=None if state.total_ms is None else verdict_on(state.total_ms / 1000, rules),
        bed=maker.bed(),
        strips=(maker.plan(), maker.strip(run.line)),
        layout=placed,
        lines=lines,
        matter=matter,
        others_words=_others_words(lines, matter),
        noted=tuple(each for each in noted_of(run) if each.kind in ("missed", "remark")),
        processes=tuple(zip(placed.processes, state.processes, strict=True)),
        incidents=incidents,
        noting=next(
            (each for each in incidents if asked.edit == f"incident-{each.incident.id}"), None
        ),
        own_notes=tuple(note for note in state.notes if not note.who),
        source=SOURCES[run.record.source],
        form=form or about_form(run, tags),
        tags=tags,
        venues=known_venues(occasions),
        heard=heard_of(session, run, settings),
        edit=asked.edit,
        open=asked.open,
        remarks=remarks,
        remarks_words=_remarks_words(remarks),
        verdicts=VERDICTS,
        points=points_table(rules.criteria, state.scores),
        points_form=points or points_form(run, seat),
        desk=seat.name,
        take_id=take_of_run(session, run.record.id) or "",
        just_made=asked.made == "take",
        taken=asked.taken if any(each.id == asked.taken for each in run.record.events) else "",
    )


def _remarks_words(remarks: Sequence[SegmentRemarks]) -> str:
    """How many remarks there are, and from whom: nobody watched where a recording was heard."""
    lines = [line for group in remarks for line in group.lines]
    heard = sum(line.who == HEARD_BY for line in lines)
    watched = len(lines) - heard
    found = [
        f"{count(watched, 'remark')} of those who watched" if watched or not heard else "",
        f"{count(heard, 'claim')} listened for in the recording" if heard else "",
    ]
    return ", ".join(filter(None, found))


def about_form(run: StoredRun, tags: tuple[str, ...]) -> Form:
    """The form for the name, the notes and the occasion of a run, as they are."""
    record = run.record
    said = occasion_values(record.occasion, tags)
    return opened({"label": record.label, "notes": record.notes, **said})


def _lines(run: StoredRun, placed: Layout) -> tuple[SplitLine, ...]:
    times = zip(placed.segments, run.state.ends_ms, run.state.splits_ms, strict=True)
    left_out = run.line.occasion.left_out
    return tuple(
        SplitLine(number, part, end_ms, split_ms, part.segment.id in left_out)
        for number, (part, end_ms, split_ms) in enumerate(times, 1)
    )


def _matter(lines: Sequence[SplitLine]) -> tuple[SplitLine, ...]:
    """The splits furthest from their plan, the furthest first."""
    off = [each for each in lines if abs(each.longer_s or 0.0) >= LEAST_OFF_S]
    return tuple(sorted(off, key=lambda each: -abs(each.longer_s or 0.0))[:MATTER])


def _others_words(lines: Sequence[SplitLine], matter: Sequence[SplitLine]) -> str:
    others = [
        abs(each.longer_s) for each in lines if each not in matter and each.longer_s is not None
    ]
    if not others:
        return f"All {count(len(lines), 'split')}"
    who = count(len(others), "other") if matter else f"All {count(len(others), 'segment')}"
    return f"{who} {within_words(max(others))}: every split"


def _incidents(run: StoredRun) -> tuple[IncidentLine, ...]:
    """What went wrong, each with the name of its segment, empty where that cannot be told."""
    names = {part.id: part.name for part in run.plan.routine.segments}
    return tuple(
        IncidentLine(
            each,
            INCIDENTS[each.what],
            names.get(segment_of_incident(each, run.state, list(names)) or "", ""),
        )
        for each in run.state.incidents
    )
