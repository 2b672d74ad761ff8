"""What watchers remarked and nobody has called done yet, over all runs, the oldest first."""

from collections.abc import Iterator
from dataclasses import dataclass

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from server.domain.base.number_words import count
from server.domain.runs.remark_lines import segment_at
from server.store.routines import StoredRoutine, load_routine
from server.store.runs import StoredRun, load_run
from server.store.settled import remarked_runs, settled_remarks
from server.web.frame.dependencies import ReadSession, TypedForm, WriteSession
from server.web.frame.editing import routine_context
from server.web.frame.filters import run_name, short_day
from server.web.frame.render import page, see
from server.web.frame.shown import RoutinePage
from server.web.runs.remarks_done import call_done, call_open, just_done

router = APIRouter(prefix="/routines/{routine_id}/runs/remarks")

MOST_LISTED = 100


@dataclass(frozen=True)
class OpenLine:
    """A remark with its run, and what was going on when it was made."""

    run_id: str
    remark_id: str
    day: str
    run: str
    at_ms: int
    segment: str
    words: str
    who: str


@dataclass(frozen=True, kw_only=True)
class OpenRemarksPage(RoutinePage, folder="remarks"):
    """The remarks that are open; `settled` is the run and the remark just called done."""

    headline: str
    lines: tuple[OpenLine, ...]
    more: int
    settled: tuple[str, str] | None


@router.get("")
def remarks_page(
    request: Request, session: ReadSession, routine_id: str, settled: str = ""
) -> Response:
    stored = load_routine(session, routine_id)
    return page(request, _page_of(session, stored, just_done(settled)))


@router.post("/settle")
def post_settle(session: WriteSession, routine_id: str, typed: TypedForm) -> Response:
    done = call_done(session, routine_id, typed)
    return see(f"/routines/{routine_id}/runs/remarks?settled={done}")


@router.post("/unsettle")
def post_unsettle(session: WriteSession, routine_id: str, typed: TypedForm) -> Response:
    call_open(session, routine_id, typed)
    return see(f"/routines/{routine_id}/runs/remarks")


def _page_of(
    session: Session, stored: StoredRoutine, done: tuple[str, str] | None
) -> OpenRemarksPage:
    run_ids = remarked_runs(session, stored.routine.id)
    settled = settled_remarks(session, run_ids)
    found = [
        line
        for run_id in run_ids
        for line in _lines(load_run(session, run_id))
        if (line.run_id, line.remark_id) not in settled
    ]
    return OpenRemarksPage(
        **routine_context(session, stored, "runs"),
        headline=_headline(found),
        lines=tuple(found[:MOST_LISTED]),
        more=max(len(found) - MOST_LISTED, 0),
        settled=done,
    )


def _headline(found: list[OpenLine]) -> str:
    if not found:
        return "No remark is open"
    return f"{count(len(found), 'remark')} open, the oldest of {found[0].day}"


def _lines(run: StoredRun) -> Iterator[OpenLine]:
    names = [each.name for each in run.plan.routine.segments]
    for note in sorted(run.state.notes, key=lambda each: (each.elapsed_ms, each.id)):
        if not note.who:
            continue
        place = segment_at(note.elapsed_ms, run.state.ends_ms, run.state.total_ms)
        yield OpenLine(
            run_id=run.record.id,
            remark_id=note.id,
            day=short_day(run.line.started_ms or run.line.created_ms),
            run=run_name(run.line),
            at_ms=note.elapsed_ms,
            segment="" if place is None else f"{place + 1}. {names[place]}",
            words=note.text,
            who=note.who,
        )
