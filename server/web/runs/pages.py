"""The runs of a routine beside each other: as strips, against the plan, and in figures."""

from typing import Annotated

from fastapi import APIRouter, Depends, Request, Response
from starlette.concurrency import run_in_threadpool

from server.store.annotating import restore_run
from server.store.routines import change_of, load_routine
from server.web.frame.dependencies import HeldDatabase, NowMs, WriteSession
from server.web.frame.local_zone import today
from server.web.frame.page_cache import PageCache
from server.web.frame.render import page, see, wants_body
from server.web.plan.outlook import HeldOutlooks
from server.web.runs.listing import Asked, runs_page_of
from server.web.runs.place import runs_url

router = APIRouter()


@router.get("/routines/{routine_id}/runs")
async def runs_page(
    request: Request,
    held: HeldDatabase,
    outlooks: HeldOutlooks,
    now_ms: NowMs,
    routine_id: str,
    asked: Annotated[Asked, Depends()],
) -> Response:
    # Hundreds of runs make a large page that seldom changes: kept until the routine or the
    # day does, and answered without a question or a thread while nothing at all was written.
    pages: PageCache = request.app.state.pages
    place = ("runs", routine_id, today(now_ms), asked, wants_body(request))
    writes = held.writes

    def look() -> Response:
        with held.reading() as session:

            def make() -> Response:
                stored = load_routine(session, routine_id)
                return page(request, "runs", runs_page_of(session, stored, outlooks, asked))

            return pages.answer(request, place, make, change_of(session, routine_id), writes)

    standing = pages.standing(request, place, writes)
    return await run_in_threadpool(look) if standing is None else standing


@router.post("/runs/{run_id}/restore")
def post_restore(session: WriteSession, run_id: str) -> Response:
    return see(runs_url(restore_run(session, run_id), run_id=run_id))
