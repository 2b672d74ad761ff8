"""The runs of a routine beside each other: on the tape, as splits, and in figures."""

from fastapi import APIRouter, Request, Response
from sqlmodel import Session
from starlette.concurrency import run_in_threadpool

from server.domain.routine.plan import place_segments
from server.domain.runs.compare import Comparison, compare
from server.domain.runs.summary import RunLine
from server.store.annotating import restore_run
from server.store.routines import change_of, load_routine
from server.store.runs import list_runs, segment_names
from server.web.frame.dependencies import HeldDatabase, WriteSession
from server.web.frame.editing import Context, routine_context
from server.web.frame.page_cache import PageCache
from server.web.frame.render import page, see, wants_body
from server.web.runs.cells import run_rows
from server.web.runs.claims_heard import heard_lines
from server.web.runs.tape import run_tape

router = APIRouter()

ON_TAPE = 12
"""Runs drawn beneath each other unless all are asked for; more would not fit a screen."""


@router.get("/routines/{routine_id}/runs")
async def runs_page(
    request: Request,
    held: HeldDatabase,
    routine_id: str,
    show: str = "",
    deleted: str = "",
    ended: str = "",
) -> Response:
    # Hundreds of runs make a large page that seldom changes: kept until the routine does, and
    # answered without a question or a thread while nothing at all was written.
    pages: PageCache = request.app.state.pages
    place = (routine_id, show, deleted, ended, wants_body(request))
    writes = held.writes

    def look() -> Response:
        with held.reading() as session:

            def make() -> Response:
                context = runs_context(session, routine_id, show, deleted, ended)
                return page(request, "runs", context)

            return pages.answer(request, place, make, change_of(session, routine_id), writes)

    standing = pages.standing(request, place, writes)
    return await run_in_threadpool(look) if standing is None else standing


@router.post("/runs/{run_id}/restore")
def post_restore(session: WriteSession, run_id: str) -> Response:
    return see(f"/routines/{restore_run(session, run_id)}/runs")


def runs_context(
    session: Session, routine_id: str, show: str = "", deleted: str = "", ended: str = ""
) -> Context:
    """What the runs page shows."""
    stored = load_routine(session, routine_id)
    context = routine_context(session, stored, "runs")
    listed = list_runs(session, routine_id)
    compared = _compared(session, context, [line for line in listed if line.status != "waiting"])
    attempts = [run for run in compared.runs if run.line.is_attempt]
    drawn = attempts if show == "all" else attempts[-ON_TAPE:]
    return {
        **context,
        "compared": compared,
        "rows": run_rows(compared),
        "heard": heard_lines(stored.routine, listed),
        "tape": run_tape(place_segments(stored.routine.segments), context["rules"], drawn),
        "drawable": len(attempts),
        "hidden": len(attempts) - len(drawn),
        "open_runs": [line for line in listed if line.is_open],
        "show": show,
        "just_ended": next(
            (line for line in listed if line.id == ended and _can_go_on(line)), None
        ),
        "just_deleted": "" if any(line.id == deleted for line in listed) else deleted,
    }


def _can_go_on(line: RunLine) -> bool:
    return line.status == "abandoned"


def _compared(session: Session, context: Context, lines: list[RunLine]) -> Comparison:
    routine = context["routine"]
    planned = {segment.id for segment in routine.segments}
    is_retired = any(each not in planned for line in lines for each in line.summary.ends_ms)
    old_names = segment_names(session, routine.id) if is_retired else {}
    return compare(routine, context["rules"], lines, old_names)
