"""Who watches a run, and who tastes: let in to that alone, by a pass in a cookie.

Their tables are loaded for the first of them: no start waits for that.
"""

from typing import TYPE_CHECKING

from fastapi import Request
from fastapi.concurrency import run_in_threadpool

from server.store.database import Database
from server.web.frame.cookies import cookie_of, taste_cookie, watch_cookie

if TYPE_CHECKING:
    from server.store.tastings.tasters import Taster
    from server.store.watchers import Watcher


async def watches(request: Request, held: Database, now_ms: int) -> "Watcher | None":
    """The watcher of the run in question that a browser shows the pass of."""
    run_id = request.path_params.get("run_id", "")
    token = cookie_of(request, watch_cookie(run_id)) if run_id else ""
    if not token:
        return None
    return await run_in_threadpool(_watcher, held, run_id, token, now_ms)


async def tastes(request: Request, held: Database, now_ms: int) -> "Taster | None":
    """The taster at the tasting in question that a browser shows the pass of."""
    sitting_id = request.path_params.get("sitting_id", "")
    token = cookie_of(request, taste_cookie(sitting_id)) if sitting_id else ""
    if not token:
        return None
    return await run_in_threadpool(_taster, held, sitting_id, token, now_ms)


def _watcher(held: Database, run_id: str, token: str, now_ms: int) -> "Watcher | None":
    from server.store.watchers import watcher_with

    with held.reading() as session:
        return watcher_with(session, run_id, token, now_ms)


def _taster(held: Database, sitting_id: str, token: str, now_ms: int) -> "Taster | None":
    from server.store.tastings.tasters import taster_with

    with held.reading() as session:
        return taster_with(session, sitting_id, token, now_ms)
