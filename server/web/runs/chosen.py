"""The run that one looks at beside the strips: what came of it, in a few lines."""

from dataclasses import dataclass

from sqlmodel import Session

from server.domain.base.numbers import write_number
from server.domain.routine.plan import place_segments
from server.domain.routine.rules import RuleSheet
from server.domain.runs.events import INCIDENTS
from server.domain.runs.points import points_table
from server.domain.runs.run import NoteState
from server.domain.runs.summary import RunLine, RunSummary
from server.store.runs import StoredRun, load_run
from server.store.uploads.recordings import run_recordings
from server.web.frame.filters import apart, clock_ms, moment_ms, run_name, short_day
from server.web.runs.claims_heard import claim_words
from server.web.runs.run_words import finish_then_words
from server.web.runs.strips import longest_over

_WHAT = {str(kind): words for kind, words in INCIDENTS.items()}

LEAST_OVER_S = 1.0
MOST_INCIDENTS = 3


@dataclass(frozen=True)
class Noted:
    """Something worth knowing of a run: a stub of this kind with its word, and the text."""

    kind: str
    word: str
    text: str


@dataclass(frozen=True)
class ChosenRun:
    """A run with what came of it; `remarks` counts those of watchers."""

    line: RunLine
    name: str
    day: str
    total: str
    words: str
    noted: tuple[Noted, ...]
    remarks: int
    recording_id: str


def chosen_run(session: Session, line: RunLine, rules: RuleSheet, *, is_last: bool) -> ChosenRun:
    """A run of a list as it is shown beside the list.

    `rules` are those of today. Of the last one the segments stand there as well, so that none is
    named again.
    """
    run = load_run(session, line.id)
    remarks = len(run.state.claims) + len(_watchers_notes(run)) + len(run.state.calls)
    heard = [each for each in run_recordings(session, line.id) if each.done]
    return ChosenRun(
        line=line,
        name=line.label or line.occasion.venue or run_name(line),
        day=short_day(line.started_ms or line.created_ms),
        total=clock_ms(line.total_ms),
        words=finish_then_words(line, run.plan.rules, rules),
        noted=tuple(each for each in noted_of(run) if not (is_last and each.kind == "longer")),
        remarks=remarks,
        recording_id=heard[0].id if heard else "",
    )


def noted_of(run: StoredRun) -> tuple[Noted, ...]:
    """What went long or wrong, what was missed, and what was said of it."""
    found = [
        Noted("longer", "Longest over", _longest(run)),
        Noted("missed", "Missed", missed_words(run.line.summary)),
        Noted("needs", "Happened", _happened(run)),
        Noted("remark", "Remark" if _watchers_notes(run) else "Points", _said(run)),
    ]
    return tuple(each for each in found if each.text)


def missed_words(summary: RunSummary) -> str:
    """The claims that were not heard, and those that were said wrong; "" where none was."""
    missed = [claim_words(key) for key, found in summary.claims.items() if found == "missed"]
    wrong = [claim_words(key) for key, found in summary.claims.items() if found == "wrong"]
    parts = [", ".join(missed), f"{', '.join(wrong)} said wrong" if wrong else ""]
    return "; ".join(filter(None, parts))


def points_words(run: StoredRun) -> str:
    """The points that were given, as "28.5 of 35"; "" where not every criterion has some.

    Of several who gave some it is the mean, and says so: none of them may have given just that.
    """
    points = points_table(run.plan.rules.criteria, run.state.scores)
    if points.mean_total is None:
        return ""
    told = f"{write_number(round(points.mean_total, 1))} of {write_number(points.most_total)}"
    judges = len(points.judges)
    return f"{told}, mean of {judges}" if judges > 1 else told


def _longest(run: StoredRun) -> str:
    placed = place_segments(run.plan.routine.segments)
    over = longest_over(run.line.summary, placed)
    if over is None or over[1] < LEAST_OVER_S:
        return ""
    name = next(each.segment.name for each in placed if each.segment.id == over[0])
    return f"{name}, {apart(over[1], tenths=True)}"


def _happened(run: StoredRun) -> str:
    told = [
        f"{_WHAT[each.what]} at {moment_ms(each.elapsed_ms)}"
        + (f": {each.text}" if each.text else "")
        for each in run.state.incidents
    ]
    more = len(told) - MOST_INCIDENTS
    return "; ".join(told[:MOST_INCIDENTS]) + (f"; {more} more" if more > 0 else "")


def _said(run: StoredRun) -> str:
    points, notes = points_words(run), _watchers_notes(run)
    quoted = f"“{notes[-1].text}” {notes[-1].who}" if notes else ""
    return ". ".join(filter(None, (points, quoted))) + ("." if points and not notes else "")


def _watchers_notes(run: StoredRun) -> list[NoteState]:
    return [note for note in run.state.notes if note.who and note.text]
