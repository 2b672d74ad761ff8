"""The presenter's side of watching: opens a run to others, by a code to type or to scan."""

from collections.abc import Sequence
from dataclasses import dataclass

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from server.domain.base.durations import HOUR_MS
from server.domain.base.errors import NotFound
from server.store.routines import load_routine
from server.store.runs import StoredRun, load_live_run
from server.store.watchers import (
    JoinCode,
    Watcher,
    close_to_watchers,
    code_of,
    open_to_watchers,
    who_joined,
)
from server.web.frame.dependencies import NowMs, ReadSession, TypedForm, WriteSession
from server.web.frame.editing import routine_context
from server.web.frame.reach import address_for_others, qr_svg
from server.web.frame.render import page, part, see
from server.web.frame.shown import RoutinePage
from server.web.live.bus import LiveBus
from server.web.live.followers import HeldBus

router = APIRouter(prefix="/runs/{run_id}/watchers")

CLOSE = "close"
"""Stands in `?ask=` where it is asked whether the run shall be closed all the same."""


@dataclass(frozen=True, kw_only=True)
class WatchersPage(RoutinePage, folder="watchers"):
    """Who watches a run, and the code by which others join."""

    run_id: str
    run: StoredRun
    code: JoinCode | None
    hours_left: int
    join_url: str | None
    """The address to type; None where no other device can reach this one."""
    watching: Sequence[str]
    """The names of those who watch just now."""
    joined: Sequence[Watcher]
    asks_close: bool = False
    """Whether it is asked if the run shall be closed although somebody watches."""


@router.get("")
def watchers_page(
    request: Request, session: ReadSession, bus: HeldBus, now_ms: NowMs, run_id: str, ask: str = ""
) -> Response:
    run = load_live_run(session, run_id)
    return page(request, _shown(request, session, bus, run, now_ms, ask))


@router.get("/now")
def watching_now(request: Request, session: ReadSession, bus: HeldBus, run_id: str) -> Response:
    present = {"watching": sorted(bus.names(run_id)), "joined": who_joined(session, run_id)}
    return part(request, "watching/watchers/_now.html", present)


@router.get("/code.svg")
def code_image(request: Request, session: ReadSession, now_ms: NowMs, run_id: str) -> Response:
    code = code_of(session, run_id, now_ms)
    url = join_url(request, code.code) if code else None
    if url is None:
        raise NotFound("This run has no code to scan just now.")
    return Response(
        qr_svg(url, "Join"), media_type="image/svg+xml", headers={"Cache-Control": "no-store"}
    )


@router.post("")
def post_open(session: WriteSession, now_ms: NowMs, run_id: str) -> Response:
    open_to_watchers(session, run_id, now_ms)
    return see(f"/runs/{run_id}/watchers")


@router.post("/close")
def post_close(
    session: WriteSession, bus: HeldBus, now_ms: NowMs, typed: TypedForm, run_id: str
) -> Response:
    """Close the run; while somebody watches only when that was asked: they may be writing."""
    if bus.names(run_id) and typed.text("sure") != "yes":
        return see(f"/runs/{run_id}/watchers?ask={CLOSE}")
    close_to_watchers(session, run_id, now_ms)
    bus.end_with(session, run_id)
    return see(f"/runs/{run_id}/watchers")


def join_url(request: Request, code: str = "") -> str | None:
    """The address others open to join; None where no other device can reach this one."""
    base = address_for_others(request)
    # What stands behind "#" no server, proxy or log hears.
    return f"{base}/join{f'#{code}' if code else ''}" if base else None


def _shown(
    request: Request, session: Session, bus: LiveBus, run: StoredRun, now_ms: int, ask: str
) -> WatchersPage:
    run_id = run.record.id
    code = code_of(session, run_id, now_ms)
    watching = sorted(bus.names(run_id))
    return WatchersPage(
        **routine_context(session, load_routine(session, run.routine_id), "rehearse"),
        run_id=run_id,
        run=run,
        code=code,
        hours_left=0 if code is None else _hours_left(code, now_ms),
        join_url=join_url(request),
        watching=watching,
        joined=who_joined(session, run_id),
        asks_close=bool(ask == CLOSE and watching and code),
    )


def _hours_left(code: JoinCode, now_ms: int) -> int:
    return max(1, round((code.expires_ms - now_ms) / HOUR_MS))
