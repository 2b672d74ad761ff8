"""The live stream of a run for those who watch it, and the pulse of the presenter's clock."""

import time
from collections.abc import AsyncIterator, Callable
from typing import Annotated

from fastapi import APIRouter, Depends, Header, Query, Request, Response
from fastapi.concurrency import run_in_threadpool
from fastapi.sse import EventSourceResponse
from pydantic import BaseModel, ConfigDict, Field

from server.domain.base.errors import NotAdmitted
from server.domain.base.ids import Id
from server.domain.base.numbers import read_whole
from server.store.database import Database
from server.store.devices import names_of
from server.store.run_logs import Arrival, arrivals_after
from server.store.runs import require_run
from server.store.sharing.passes import is_of_another
from server.store.watchers import Watcher, watcher_with
from server.web.frame.cookies import cookie_of, watch_cookie
from server.web.frame.dependencies import HeldDatabase, NowMs
from server.web.frame.door import Asker, HeldAsker
from server.web.live.bus import Follower, LiveBus
from server.web.live.followers import HeldBus
from server.web.live.for_judges import JudgesView
from server.web.live.frames import StreamFrame, frame_of, mark_frame

router = APIRouter(prefix="/api/runs/{run_id}")

PING_S = 5.0
"""A stream says as often what time it is here, when it has nothing else to say."""

HIGHEST_REV = 2**53

NOT_OPEN = "This run is not open to you. Ask the presenter for the code."

# No proxy on the way may hold anything back until there is more of it.
STREAM_HEADERS = {"Cache-Control": "no-cache", "X-Accel-Buffering": "no"}


class Beat(BaseModel):
    """What the presenter's device says of its clock; nothing of it is stored."""

    model_config = ConfigDict(extra="forbid", strict=True)

    elapsed_ms: Annotated[float, Field(ge=0, le=2**53, allow_inf_nan=False)] | None


async def admitted(
    request: Request, database: HeldDatabase, asker: HeldAsker, now_ms: NowMs, run_id: str
) -> Watcher:
    """Who asks, by the token in their cookie. Raises NotAdmitted, NotFound and Gone."""
    token = cookie_of(request, watch_cookie(run_id))
    watcher = await run_in_threadpool(_watcher, database, run_id, token, now_ms)
    if is_of_another(watcher, asker.person):
        raise NotAdmitted(NOT_OPEN)
    return watcher


Admitted = Annotated[Watcher, Depends(admitted)]


async def _device(watcher: Admitted, device: Annotated[Id, Query()] = "one") -> str:
    """The device that follows, told apart from all others'."""
    return f"{watcher.key}.{device}"


Device = Annotated[str, Depends(_device)]


async def _following(
    bus: HeldBus, watcher: Admitted, device: Device, run_id: str
) -> AsyncIterator[Follower]:
    with bus.following(run_id, watcher.name, device) as follower:
        yield follower


@router.get("/live")
async def get_live(
    request: Request,
    follower: Annotated[Follower, Depends(_following)],
    bus: HeldBus,
    database: HeldDatabase,
    asker: HeldAsker,
    now_ms: NowMs,
    run_id: str,
    after: Annotated[int, Query(ge=0, le=HIGHEST_REV)] = 0,
    last_event_id: Annotated[str, Header()] = "",
) -> Response:
    # One follows already: what arrives while the past is read waits in the queue, and what is in
    # both is told apart by its rev.
    rev = _rev(after, last_event_id)
    past = await run_in_threadpool(_past, database, run_id, rev)
    # Shut out in between? Who follows from now on is let go of when that happens.
    watcher = await admitted(request, database, asker, now_ms, run_id)
    frames = [mark_frame(arrival) for arrival in past]
    judge = JudgesView(database, run_id, watcher) if asker.judges else None
    stream = _stream(follower, rev, frames, lambda: _ping(bus, run_id), judge)
    return EventSourceResponse(stream, headers=STREAM_HEADERS)


async def _stream(
    follower: Follower,
    rev: int,
    past: list[StreamFrame],
    ping: Callable[[], StreamFrame],
    judge: JudgesView | None,
) -> AsyncIterator[bytes]:
    rev = past[-1].rev or rev if past else rev
    if judge is not None:
        past = await judge.of(past)
    yield b"".join(frame.data for frame in [*past, ping()])
    while True:
        try:
            message = await follower.next(PING_S)
        except TimeoutError:
            message = [ping()]
        if message is None:
            return
        fresh = [frame for frame in message if frame.rev is None or frame.rev > rev]
        rev = max((frame.rev for frame in fresh if frame.rev is not None), default=rev)
        if judge is not None:
            fresh = await judge.of(fresh)
        if fresh:
            yield b"".join(frame.data for frame in fresh)


@router.get("/watching")
async def get_watching(bus: HeldBus, _watcher: Admitted, run_id: str) -> dict[str, int]:
    """Why the stream cannot be had, which the browser keeps from the page that asks for it."""
    bus.require_room(run_id)
    return {"watching": len(bus.names(run_id))}


@router.post("/watching")
async def post_watching(bus: HeldBus, device: Device, run_id: str) -> dict[str, int]:
    """A page that follows says that it is still there, which its stream cannot tell."""
    bus.heard(run_id, device)
    return {"watching": len(bus.names(run_id))}


@router.post("/pulse")
async def post_pulse(
    bus: HeldBus, database: HeldDatabase, asker: HeldAsker, run_id: str, beat: Beat
) -> dict[str, int]:
    """Another device that was let in may ask who watches, but tells nobody what the clock says."""
    elapsed_ms = beat.elapsed_ms
    if elapsed_ms is not None and await run_in_threadpool(_has_marked, database, run_id, asker):
        pulse = {"elapsed_ms": elapsed_ms, "server_ms": _server_ms()}
        bus.pulse(run_id, frame_of("pulse", pulse))
    return {"watching": len(bus.names(run_id))}


def _has_marked(database: Database, run_id: str, asker: Asker) -> bool:
    """Whether marks of this run came from who asks; where the door is open all are alike."""
    if not asker.key:
        return True
    with database.reading() as session:
        return any(names_of(session, run_id, key) for key in asker.keys)


def _watcher(database: Database, run_id: str, token: str, now_ms: int) -> Watcher:
    with database.reading() as session:
        require_run(session, run_id)
        watcher = watcher_with(session, run_id, token, now_ms)
    if watcher is None:
        raise NotAdmitted(NOT_OPEN)
    return watcher


def _past(database: Database, run_id: str, rev: int) -> list[Arrival]:
    with database.reading() as session:
        return arrivals_after(session, run_id, rev)


def _rev(after: int, last_event_id: str) -> int:
    return min(max(after, read_whole(last_event_id) or 0), HIGHEST_REV)


def _ping(bus: LiveBus, run_id: str) -> StreamFrame:
    return frame_of("ping", {"server_ms": _server_ms(), "watching": len(bus.names(run_id))})


def _server_ms() -> int:
    return time.time_ns() // 1_000_000
