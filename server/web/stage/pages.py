"""The stage: the page that holds the clock, and the address its marks are sent to."""

import json
import logging
from asyncio import wrap_future
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated, ClassVar

from fastapi import APIRouter, Depends, Query, Request, Response
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import JSONResponse
from markupsafe import Markup
from sqlmodel import Session

from server.domain.base.errors import InvalidInput
from server.domain.routine.plan import PHASES, Plan, layout, mark_steps
from server.domain.routine.routine import LANGUAGES, Process, Routine, Segment, Spread
from server.domain.whole.exchange import events_json, parse_events
from server.store.arrivals import arrivals
from server.store.routines import load_routine
from server.store.rule_sheets import load_rule_sheet
from server.store.run_columns import list_occasions
from server.store.runs import Appended, StoredRun, append_events, load_run
from server.store.tracks import Track, track_of
from server.web.frame.dependencies import HeldWriter, NowMs, ReadSession
from server.web.frame.door import HeldAsker
from server.web.frame.errors import answer
from server.web.frame.render import templates
from server.web.frame.shown import Page
from server.web.live.routes import HeldBus, tell_followers
from server.web.plan.outlook import ExpectedStep, HeldOutlooks, Outlooks
from server.web.runs.occasion_form import known_venues
from server.web.script.due import due_in
from server.web.stage.devices import Heard
from server.web.stage.own_names import require_own

router = APIRouter()
_log = logging.getLogger(__name__)


@dataclass(frozen=True, kw_only=True)
class StagePage(Page):
    """The page that holds the clock of a run, or of a try-out, which has no run."""

    folder: ClassVar[str] = "stage"

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


async def _read_body(request: Request) -> bytes:
    return await request.body()


LONG_BODY = 16_000
"""Bytes: reading so many marks takes a few ms, which is too long for the loop that serves all."""

Body = Annotated[bytes, Depends(_read_body)]
DeviceId = Annotated[str, Query(max_length=64, pattern=r"^[A-Za-z0-9_-]*$")]


@router.get("/runs/{run_id}/stage")
def stage_page(
    request: Request, session: ReadSession, outlooks: HeldOutlooks, asker: HeldAsker, run_id: str
) -> Response:
    run = load_run(session, run_id)
    if run.deleted:
        return answer(request, 410, "gone", "This run was deleted. Bring it back to go on with it.")
    track = track_of(session, run.routine_id)
    data = stage_data(run, track, expected_steps(session, outlooks, run))
    shown = StagePage(
        run=run_id,
        routine=run.plan.routine,
        untold=due_in(run.record.plan_key, run.plan).untold,
        # A helper makes no recordings.
        recording_mb=request.app.state.settings.recording_mb if asker.role == "mine" else 0,
        last_segment=next((each.id for each in reversed(run.plan.routine.segments)), ""),
        venues=known_venues(list_occasions(session, run.routine_id)),
        data_json=Markup(script_safe(data)),  # noqa: S704  (see script_safe)
    )
    page = templates.TemplateResponse(request, "stage/page.html", shown.values())
    # Kept for a while, so that a tablet can open the stage again while the server is away. The
    # page adds the events it knows itself, so an old copy does no harm.
    page.headers["Cache-Control"] = "private, max-age=3600"
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
    heard: Heard = request.app.state.heard
    if device and asker.role is not None:
        heard.note(run_id, device, now_ms)
    return JSONResponse(
        {
            "events": events_json(known.events),
            "now_ms": now_ms,
            "started_ms": known.started_ms,
            "heard_ms": heard.latest(run_id, known.heard_ms),
        }
    )


@router.post("/api/runs/{run_id}/events")
async def post_events(
    writer: HeldWriter,
    bus: HeldBus,
    now_ms: NowMs,
    run_id: str,
    body: Body,
    asker: HeldAsker,
) -> Response:
    events = (
        parse_events(body) if len(body) < LONG_BODY else await run_in_threadpool(parse_events, body)
    )

    def append(session: Session) -> Appended:
        require_own(session, run_id, events, asker)
        appended = append_events(session, run_id, events, now_ms)
        tell_followers(session, bus, run_id, appended)
        return appended

    appended = await wrap_future(writer.submit(append))
    if appended.differing:
        _log.warning("run %s: sent again with other content: %s", run_id, appended.differing)
    told = {name: getattr(appended, name) for name in ("accepted", "differing", "takeovers")}
    return JSONResponse(told)


def track_url(routine_id: str, track: Track) -> str:
    """Where a routine's music is played from."""
    return f"/music/{routine_id}/{track.key}"


def expected_steps(
    session: Session, outlooks: Outlooks, run: StoredRun
) -> Mapping[str, ExpectedStep]:
    """Segment id -> how long it is expected to take by the belief of the plan page.

    Nothing where that cannot be told: a stage opens whatever a computation comes to, and then
    expects what is planned. Setting up and clearing away are no part of the routine's plan.
    """
    if run.plan.part is not None and run.plan.part.phase is not None:
        return {}
    try:
        stored = load_routine(session, run.routine_id)
        rules = load_rule_sheet(session, stored.routine.rule_sheet_id)
        return outlooks.of(session, stored, rules).expected_steps(run.plan.routine)
    except Exception:
        _log.exception("run %s: no expected durations, the plan's stand in", run.record.id)
        return {}


def stage_data(
    run: StoredRun, track: Track | None = None, expected: Mapping[str, ExpectedStep] | None = None
) -> dict[str, object]:
    """Everything the stage page must know, so that the server may go away afterwards."""
    due = due_in(run.record.plan_key, run.plan)
    return {
        **_plan_data(run.plan, run.routine_id, track, expected or {}),
        "run_id": run.record.id,
        "claims": due.claims,
        "events": events_json(run.record.events),
        "urls": {
            "events": f"/api/runs/{run.record.id}/events",
            "pulse": f"/api/runs/{run.record.id}/pulse",
            "review": f"/runs/{run.record.id}",
            "rehearse": f"/routines/{run.routine_id}/rehearse",
        },
    }


def try_data(plan: Plan, track: Track | None = None) -> dict[str, object]:
    """The same for a stage that is only tried: no run, and no address to send anything to."""
    rehearse = f"/routines/{plan.routine.id}/rehearse"
    return {
        **_plan_data(plan, plan.routine.id, track, {}),
        "run_id": "try-out",
        "try_out": True,
        "claims": [],
        "events": [],
        "urls": {"review": f"/routines/{plan.routine.id}/try", "rehearse": rehearse},
    }


def _plan_data(
    plan: Plan, routine_id: str, track: Track | None, expected: Mapping[str, ExpectedStep]
) -> dict[str, object]:
    routine = plan.routine
    return {
        "routine_name": routine.name,
        "presenter": routine.presenter,
        "language": routine.language,
        "language_name": "" if routine.language == "other" else LANGUAGES[routine.language],
        "segments": _segments(routine, expected),
        "processes": [_process(process) for process in routine.processes],
        "part": plan.part
        and {
            "first": plan.part.first,
            "last": plan.part.last,
            "of": plan.part.of,
            "name": PHASES[plan.part.phase] if plan.part.phase else "",
        },
        "planned_s": round(layout(routine).total_s, 3),
        "rules": _rules(plan),
        "music": track and {"name": track.name, "url": track_url(routine_id, track)},
    }


def _segments(routine: Routine, expected: Mapping[str, ExpectedStep]) -> list[dict[str, object]]:
    steps = mark_steps(routine.segments)
    # Binary dust apart, a step is the duration itself wherever nothing runs alongside.
    return [
        {
            **_segment(each, routine),
            "likely_s": round(steps[each.id], 3),
            **_expected(expected.get(each.id)),
        }
        for each in routine.segments
    ]


def _expected(step: ExpectedStep | None) -> dict[str, object]:
    """What the stage learns of the day by; nothing where it cannot be told."""
    if step is None:
        return {"expected_s": None, "day": 0, "own": 0}
    return {"expected_s": step.seconds, "day": step.day, "own": step.own}


def _segment(segment: Segment, routine: Routine) -> dict[str, object]:
    names = {drink.id: drink.name for drink in routine.drinks}
    tracks = {drink.id: place for place, drink in enumerate(routine.drinks)}
    return {
        "id": segment.id,
        "name": segment.name,
        "lane": segment.lane,
        **_spread(segment.duration),
        "hands": segment.hands,
        "said": segment.said,
        "drink": names.get(segment.drink_id or ""),
        "track": tracks.get(segment.drink_id or ""),
        "auto_advance": segment.auto_advance,
    }


def _process(process: Process) -> dict[str, object]:
    return {
        "id": process.id,
        "name": process.name,
        "after_segment_id": process.after_segment_id,
        "before_segment_id": process.before_segment_id,
        **_spread(process.duration),
        "fallback": process.fallback,
    }


def _rules(plan: Plan) -> dict[str, object]:
    rules = plan.rules
    return {
        "name": rules.name,
        "slot_s": rules.slot_s,
        "target_s": rules.target_s,
        "grace_s": rules.grace_s,
        "cutoff_s": rules.cutoff_s,
        "time_calls": [{"at_s": call.at_s, "words": call.words} for call in rules.time_calls],
    }


def _spread(spread: Spread) -> dict[str, object]:
    return {"likely_s": spread.likely_s, "low_s": spread.low_s, "high_s": spread.high_s}


def script_safe(data: object) -> str:
    # Inside <script> only "<" can end the element or open a comment; JSON allows it escaped.
    return json.dumps(data, ensure_ascii=False).replace("<", "\\u003c")
