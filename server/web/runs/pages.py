"""The runs of a routine beside each other: as strips, against the plan, and in figures."""

from typing import Annotated

from fastapi import APIRouter, Depends, Request, Response
from sqlmodel import Session

from server.store.annotating import restore_run
from server.store.routines import StoredRoutine
from server.web.frame.dependencies import WriteSession, made_of
from server.web.frame.kept_pages import Look
from server.web.frame.render import page, see
from server.web.plan.outlook import Outlooks
from server.web.runs.listing import AskedOfRuns, runs_page_of
from server.web.runs.place import runs_url

router = APIRouter()


@router.get("/routines/{routine_id}/runs")
async def runs_page(
    request: Request,
    look: Look,
    outlooks: HeldOutlooks,
    asked: Annotated[AskedOfRuns, Depends(made_of(AskedOfRuns))],
) -> Response:
    # Hundreds of runs make a large page that seldom changes.
    def make(session: Session, stored: StoredRoutine) -> Response:
        return page(request, "runs", runs_page_of(session, stored, outlooks, asked))

    return await look.answered(("runs", asked), make)


@router.post("/runs/{run_id}/restore")
def post_restore(session: WriteSession, run_id: str) -> Response:
    return see(runs_url(restore_run(session, run_id), run_id=run_id))
