"""The runs of a routine beside each other: as strips, against the plan, and in figures."""

from dataclasses import fields

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from server.store.annotating import restore_run
from server.store.routines import StoredRoutine
from server.web.frame.dependencies import WriteSession, now_for
from server.web.frame.door import come_in
from server.web.frame.kept_pages import RoutineLook
from server.web.frame.render import page, see
from server.web.plan.outlook import outlooks_for
from server.web.runs.listing import AskedOfRuns, runs_page_of
from server.web.runs.place import runs_url

router = APIRouter()

RUNS = "/routines/{routine_id}/runs"


@router.get(RUNS)
async def runs_page(request: Request, routine_id: str) -> Response:
    return await answer_runs(request)


async def answer_runs(request: Request) -> Response:
    """The runs of a routine: a large page that is asked for often and seldom changes.

    While it stands it is answered from what the request itself tells.
    """
    asker = await come_in(request)
    look = RoutineLook(request, asker, now_for(request), request.path_params["routine_id"])
    typed = request.query_params
    names = (each.name for each in fields(AskedOfRuns))
    asked = AskedOfRuns(**{name: typed[name] for name in names if name in typed})
    outlooks = await outlooks_for(request)

    def make(session: Session, stored: StoredRoutine) -> Response:
        return page(request, runs_page_of(session, stored, outlooks, asked))

    return await look.answered(("runs", asked), make)


@router.post("/runs/{run_id}/restore")
def post_restore(session: WriteSession, run_id: str) -> Response:
    return see(runs_url(restore_run(session, run_id), run_id=run_id))


SHORTCUTS = (("GET", RUNS, answer_runs),)
