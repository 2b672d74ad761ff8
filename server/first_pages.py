"""The pages a presenter opens first, asked for by the app itself soon after its start.

The first answer of a page costs ten times a later one: its room is loaded, its documents and
templates are read for the first time, the runs are gone through. Whoever opens it should not wait
for that. So each is made once, as it stands, for the routine that was rehearsed last.
"""

import asyncio
import logging
from collections.abc import Callable, Iterator
from functools import partial

from fastapi import FastAPI
from starlette.types import Message, Scope

from server.store.database import Database
from server.store.routines import routine_ids
from server.store.run_logs import last_marked
from server.web.frame.door import BY_ITSELF

FIRST = (
    "", "/try", "/rehearse", "/script", "/drinks", "/plan", "/runs", "/plan/risk", "/drift",
    "/prepare",
)  # fmt: skip
"""Pages of a routine, in the order in which they are opened."""

SLOWEST_S = 60.0

_log = logging.getLogger(__name__)


class FirstPages:
    """The first pages of an app, to be asked for from another thread than that of its loop."""

    def __init__(self, app: FastAPI, loop: asyncio.AbstractEventLoop, database: Database) -> None:
        self._app = app
        self._loop = loop
        self._database = database

    def steps(self) -> Iterator[Callable[[], object]]:
        """What to do one after the other: each asks for one page."""
        yield from (partial(self._ask, path) for path in ("/", *self._paths()))

    def _paths(self) -> list[str]:
        with self._database.reading() as session:
            last = last_marked(session)
            known = [last[1]] if last else routine_ids(session, 1)
        stage = [f"/runs/{last[0]}/stage"] if last else []
        return stage + [f"/routines/{routine_id}{page}" for routine_id in known for page in FIRST]

    def _ask(self, path: str) -> None:
        asked = asyncio.run_coroutine_threadsafe(self._answered(path), self._loop)
        try:
            asked.result(SLOWEST_S)
        except Exception:
            # Whoever opens it is told what is wrong; the app answers all else.
            _log.debug("%s could not be made ahead.", path, exc_info=True)

    async def _answered(self, path: str) -> None:
        """Ask the app as its server does; over https, so that nothing leads there."""
        scope: Scope = {
            "type": "http", "asgi": {"version": "3.0"}, "http_version": "1.1", "scheme": "https",
            "method": "GET", "path": path, "raw_path": path.encode(), "root_path": "",
            "query_string": b"", "headers": [(b"host", b"localhost")], BY_ITSELF: True,
        }  # fmt: skip
        await self._app(scope, _nothing_comes, _nobody_reads)


async def _nothing_comes() -> Message:
    return {"type": "http.request", "body": b"", "more_body": False}


async def _nobody_reads(_message: Message) -> None:
    return
