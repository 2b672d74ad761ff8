"""The live stream of a run for those who watch it, and the pulse of the presenter's clock."""

import time
from collections.abc import AsyncIterator
from typing import Annotated

from fastapi import APIRouter, Depends, Header, Query, Request
from fastapi.concurrency import run_in_threadpool
from fastapi.sse import EventSourceResponse, ServerSentEvent
from pydantic import BaseModel, ConfigDict, Field
from sqlmodel import Session

from server.domain.errors import NotAdmitted
from server.domain.events import Id
from server.store.database import Database, after_commit
from server.store.run_logs import Arrival, arrivals_after
from server.store.runs import Appended, require_run
from server.store.watchers import Watcher, watcher_with
from server.web.dependencies import HeldDatabase
from server.web.live_bus import Follower, LiveBus, Pulse

router = APIRouter(prefix="/api/runs/{run_id}")

PING_S = 5.0
"""A stream says as often what time it is here, when it has nothing else to say."""

HIGHEST_REV = 2**53


class Beat(BaseModel):
    """What the presenter's device says of its clock; nothing of it is stored."""

    model_config = ConfigDict(extra="forbid", strict=True)

    elapsed_ms: Annotated[float, Field(ge=0, le=2**53, allow_inf_nan=False)] | None


async def live_bus(request: Request) -> LiveBus:
    """The followers of this app."""
    held: LiveBus = request.app.state.live
    return held


HeldBus = Annotated[LiveBus, Depends(live_bus)]


def cookie_of(run_id: str) -> str:
    """The name of the cookie that admits to a run. Cookies do not tell ports apart: hence ours."""
    return f"ninefifty-watch-{run_id}"


async def admitted(request: Request, database: HeldDatabase, run_id: str) -> Watcher:
    """Who asks, by the token in their cookie. Raises NotAdmitted, NotFound and Gone."""
    token = request.cookies.get(cookie_of(run_id), "")
    return await run_in_threadpool(_watcher, database, run_id, token)


Admitted = Annotated[Watcher, Depends(admitted)]


async def _following(
    bus: HeldBus, watcher: Admitted, run_id: str, device: Annotated[Id, Query()] = "one"
) -> AsyncIterator[Follower]:
    with bus.following(run_id, watcher.name, f"{watcher.key}.{device}") as follower:
        yield follower


@router.get("/live", response_class=EventSourceResponse)
async def get_live(
    follower: Annotated[Follower, Depends(_following)],
    bus: HeldBus,
    database: HeldDatabase,
    run_id: str,
    after: int = 0,
    last_event_id: Annotated[str, Header()] = "",
) -> AsyncIterator[ServerSentEvent]:
    # One follows already: what arrives while the past is read waits in the queue, and what is in
    # both is told apart by its rev.
    rev = _rev(after, last_event_id)
    for arrival in await run_in_threadpool(_past, database, run_id, rev):
        rev = arrival.rev
        yield _mark(arrival)
    yield _ping(bus, run_id)
    while True:
        try:
            message = await follower.next(PING_S)
        except TimeoutError:
            yield _ping(bus, run_id)
            continue
        if message is None:
            return
        if isinstance(message, Pulse):
            yield ServerSentEvent(event="pulse", data=message.__dict__)
            continue
        for arrival in message:
            if arrival.rev > rev:
                rev = arrival.rev
                yield _mark(arrival)


@router.get("/watching")
async def get_watching(bus: HeldBus, _watcher: Admitted, run_id: str) -> dict[str, int]:
    """Why the stream cannot be had, which the browser keeps from the page that asks for it."""
    bus.require_room(run_id)
    return {"watching": len(bus.names(run_id))}


@router.post("/pulse")
async def post_pulse(bus: HeldBus, run_id: str, beat: Beat) -> dict[str, int]:
    if beat.elapsed_ms is not None:
        bus.publish(run_id, Pulse(beat.elapsed_ms, _server_ms()))
    return {"watching": len(bus.names(run_id))}


def tell_followers(session: Session, bus: LiveBus, run_id: str, appended: Appended) -> None:
    """Tell those who follow a run what came new to its log, as soon as that is durable."""
    if appended.arrived:
        after_commit(session, lambda: bus.publish(run_id, appended.arrived))


def _watcher(database: Database, run_id: str, token: str) -> Watcher:
    with database.reading() as session:
        require_run(session, run_id)
        watcher = watcher_with(session, run_id, token, _server_ms())
    if watcher is None:
        raise NotAdmitted("This run is not open to you. Ask the presenter for the code.")
    return watcher


def _past(database: Database, run_id: str, rev: int) -> list[Arrival]:
    with database.reading() as session:
        return arrivals_after(session, run_id, rev)


def _rev(after: int, last_event_id: str) -> int:
    last = int(last_event_id) if last_event_id.isdecimal() and last_event_id.isascii() else 0
    return min(max(after, last, 0), HIGHEST_REV)


def _mark(arrival: Arrival) -> ServerSentEvent:
    data = f'{{"received_ms":{arrival.received_ms},"event":{arrival.document}}}'
    return ServerSentEvent(event="mark", id=str(arrival.rev), raw_data=data)


def _ping(bus: LiveBus, run_id: str) -> ServerSentEvent:
    data = {"server_ms": _server_ms(), "watching": len(bus.names(run_id))}
    return ServerSentEvent(event="ping", data=data)


def _server_ms() -> int:
    return time.time_ns() // 1_000_000
