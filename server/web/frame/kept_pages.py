"""Pages of a routine that are dear and seldom new: kept until the routine changes, or the day."""

from collections.abc import Callable, Hashable
from typing import Annotated

from fastapi import Depends, Request, Response
from sqlmodel import Session
from starlette.concurrency import run_in_threadpool

from server.store.database import Database
from server.store.routines import StoredRoutine, change_of, load_routine
from server.web.frame.dependencies import NowMs, made_of
from server.web.frame.door import HeldAsker
from server.web.frame.local_zone import today
from server.web.frame.page_cache import PageCache
from server.web.frame.render import wants_body

Make = Callable[[Session, StoredRoutine], Response]


class RoutineLook:
    """One look at a page of a routine. A break is counted in days: so the day is part of it."""

    def __init__(self, request: Request, asker: HeldAsker, now_ms: NowMs, routine_id: str) -> None:
        self._request = request
        self._asker = asker
        self._held: Database = request.app.state.database
        self._routine_id = routine_id
        self.day = today(now_ms)

    async def answered(self, asked: Hashable, make: Make, *, keep: bool = True) -> Response:
        """The page that was `asked` for, made only if it is not kept; `make` draws it.

        Who asks for one that is being made waits for it. While nothing at all was written it is
        answered without a question or a thread, where this process alone can write.
        """
        pages: PageCache = self._request.app.state.pages
        # A page shows no more than who asks may do: another who may do more has one of their own.
        person, granted = self._asker.person, self._asker.grants.asks
        whose = "" if person is None else person.id
        may = (granted, whose, self._asker.helps)
        place = (asked, self._routine_id, self.day, wants_body(self._request), may)

        def standing() -> Response | None:
            state = self._held.state
            return None if state is None else pages.standing(self._request, place, state)

        def look() -> Response:
            with self._held.reading() as session:
                seen = self._held.state_of(session)
                known = pages.standing(self._request, place, seen)
                if known is not None and keep:
                    return known

                def drawn() -> Response:
                    return make(session, load_routine(session, self._routine_id))

                if not keep:
                    return drawn()
                stamp = change_of(session, self._routine_id)
                return pages.answer(self._request, place, drawn, stamp, seen)

        if (known := standing()) is not None:
            return known
        if not keep:
            return await run_in_threadpool(look)
        async with pages.turn(place):
            known = standing()
            return await run_in_threadpool(look) if known is None else known


Look = Annotated[RoutineLook, Depends(made_of(RoutineLook))]
