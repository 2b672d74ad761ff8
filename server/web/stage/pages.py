"""The stage: the page that holds the clock, and the address its marks are sent to."""

import logging
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

from fastapi import APIRouter, Query, Request, Response
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import JSONResponse
from markupsafe import Markup

from server.domain.base.errors import Gone, InvalidInput
from server.domain.routine.plan import Plan
from server.domain.routine.routine import Routine
from server.domain.whole.exchange import events_json, parse_events, to_json
from server.store.across_runs import list_occasions
from server.store.arrivals import arrivals
from server.store.grouped import GroupedWriter
from server.store.routines import load_routine
from server.store.rule_sheets import load_rule_sheet
from server.store.runs import Appended, load_run
from server.store.uploads.tracks import track_of
from server.web.frame.dependencies import NowMs, ReadSession, now_for
from server.web.frame.door import HeldAsker, come_in
from server.web.frame.offered.links import kept_for
from server.web.frame.render import templates
from server.web.frame.shown import Page
from server.web.live.bus import LiveBus
from server.web.live.for_judges import events_for_judge
from server.web.plan.outlook import HeldOutlooks
from server.web.runs.occasion_form import known_venues
from server.web.script.due import due_in
from server.web.stage.devices_heard import DevicesHeard
from server.web.stage.posted_marks import Posted
from server.web.stage.run_data import expected_steps, script_safe, stage_data, try_data

router = APIRouter()
_log = logging.getLogger(__name__)


@dataclass(frozen=True, kw_only=True)
class StagePage(Page, folder="stage"):
    """The page that holds the clock of a run, or of a try-out, which has no run."""

    routine: Routine
    data_json: Markup
    """All that the browser must know, so that the server may go away afterwards."""
    run: str = ""
    try_out: bool = False
    untold: Sequence[str] = ()
    """Why nothing can be told of what is claimed while it runs."""
    recording_mb: int = 0
    last_segment: str = ""
    venues: Sequence[str] = ()


MARKS = "/api/runs/{run_id}/events"

LONG_BODY = 16_000
"""Bytes: reading so many marks takes a few ms, which is too long for the loop that serves all."""

DeviceId = Annotated[str, Query(max_length=64, pattern=r"^[A-Za-z0-9_-]*$")]


@router.get("/runs/{run_id}/stage")
def stage_page(
    request: Request, session: ReadSession, outlooks: HeldOutlooks, asker: HeldAsker, run_id: str
) -> Response:
    run = load_run(session, run_id)
    if run.deleted:
        raise Gone("This run was deleted. Bring it back to go on with it.")
    track = track_of(session, run.routine_id)
    data = stage_data(run, track, expected_steps(session, outlooks, run))
    shown = StagePage(
        run=run_id,
        routine=run.plan.routine,
        untold=due_in(run.record.plan_key, run.plan).untold,
        # A helper makes no recordings.
        recording_mb=request.app.state.settings.recording_mb if asker.may("hear") else 0,
        last_segment=next((each.id for each in reversed(run.plan.routine.segments)), ""),
        venues=known_venues(list_occasions(session, run.routine_id)),
        data_json=Markup(script_safe(data)),  # noqa: S704  (see script_safe)
    )
    page = templates.TemplateResponse(request, "stage/page.html", shown.values())
    # Kept for a while, so that a tablet can open the stage again while the server is away. The
    # page adds the events it knows itself, so an old copy does no harm.
    page.headers["Cache-Control"] = kept_for(asker)
    return page


@router.get("/routines/{routine_id}/try")
def try_page(request: Request, session: ReadSession, routine_id: str) -> Response:
    """The stage without a run: nothing of it is kept, here or on the device."""
    routine = load_routine(session, routine_id).routine
    if not routine.segments:
        raise InvalidInput.of("segments", "Add a segment first: the stage has nothing to show yet.")
    plan = Plan(routine, load_rule_sheet(session, routine.rule_sheet_id))
    track = track_of(session, routine_id)
    shown = StagePage(
        routine=routine,
        data_json=Markup(script_safe(try_data(plan, track))),  # noqa: S704  (see script_safe)
        try_out=True,
    )
    page = templates.TemplateResponse(request, "stage/page.html", shown.values())
    page.headers["Cache-Control"] = "no-store"
    return page


@router.get("/api/runs/{run_id}/events")
def get_events(
    request: Request,
    session: ReadSession,
    now_ms: NowMs,
    asker: HeldAsker,
    run_id: str,
    device: DeviceId = "",
) -> Response:
    known = arrivals(session, run_id)
    events = known.events
    if asker.judges and asker.watcher is not None:
        events = events_for_judge(session, run_id, asker.watcher, events)
    heard: DevicesHeard = request.app.state.heard
    if device and asker.role is not None:
        heard.note(run_id, device, now_ms)
    return JSONResponse(
        {
            "events": events_json(events),
            "now_ms": now_ms,
            "started_ms": known.started_ms,
            "heard_ms": heard.latest(run_id, known.heard_ms),
        }
    )


@router.post(MARKS)
async def post_events(request: Request, run_id: str) -> Response:
    return await answer_marks(request)


async def answer_marks(request: Request) -> Response:
    """Store what a device marked; it is answered when that is durable.

    Every mark of everybody comes through here, so it takes all it needs from the request itself.
    """
    asker = await come_in(request)
    run_id: str = request.path_params["run_id"]
    writer: GroupedWriter = request.app.state.marks
    bus: LiveBus = request.app.state.live
    body = await request.body()
    events = (
        parse_events(body) if len(body) < LONG_BODY else await run_in_threadpool(parse_events, body)
    )
    posted = Posted(run_id, events, now_for(request), asker, bus)
    asked = posted if posted.is_plain else None
    appended: Appended = await bus.waking.told(
        lambda tell: writer.take(posted.append, tell, run_id, asked)
    )
    if appended.differing:
        _log.warning("run %s: sent again with other content: %s", run_id, appended.differing)
    told = {name: getattr(appended, name) for name in ("accepted", "differing", "takeovers")}
    return Response(to_json(told), media_type="application/json")


SHORTCUTS = (("POST", MARKS, answer_marks),)
