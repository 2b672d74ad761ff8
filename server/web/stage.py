"""The stage: the page that holds the clock, and the address its marks are sent to."""

import json
import logging
from typing import Annotated

from fastapi import APIRouter, Depends, Request, Response
from fastapi.responses import JSONResponse
from markupsafe import Markup

from server.domain.exchange import events_json, parse_events
from server.domain.plan import Plan, mark_steps
from server.domain.routine import Process, Routine, Segment, Spread
from server.store.runs import StoredRun, append_events, load_run, run_events
from server.web.dependencies import NowMs, ReadSession, WriteSession
from server.web.errors import answer
from server.web.render import templates

router = APIRouter()
_log = logging.getLogger(__name__)


async def _read_body(request: Request) -> bytes:
    return await request.body()


Body = Annotated[bytes, Depends(_read_body)]


@router.get("/runs/{run_id}/stage")
def stage_page(request: Request, session: ReadSession, run_id: str) -> Response:
    run = load_run(session, run_id)
    if run.deleted:
        return answer(request, 410, "gone", "This run was deleted. Bring it back to go on with it.")
    context = {
        "run": run_id,
        "routine": run.plan.routine,
        "data_json": Markup(_script_safe(stage_data(run))),  # noqa: S704  (see _script_safe)
    }
    page = templates.TemplateResponse(request, "stage/page.html", context)
    # Kept for a while, so that a tablet can open the stage again while the server is away. The
    # page adds the events it knows itself, so an old copy does no harm.
    page.headers["Cache-Control"] = "private, max-age=3600"
    return page


@router.get("/api/runs/{run_id}/events")
def get_events(session: ReadSession, run_id: str) -> Response:
    return JSONResponse({"events": events_json(run_events(session, run_id))})


@router.post("/api/runs/{run_id}/events")
def post_events(session: WriteSession, now_ms: NowMs, run_id: str, body: Body) -> Response:
    appended = append_events(session, run_id, parse_events(body), now_ms)
    if appended.differing:
        _log.warning("run %s: sent again with other content: %s", run_id, appended.differing)
    return JSONResponse({"accepted": appended.accepted, "differing": appended.differing})


def stage_data(run: StoredRun) -> dict[str, object]:
    """Everything the stage page must know, so that the server may go away afterwards."""
    routine = run.plan.routine
    return {
        "run_id": run.record.id,
        "routine_name": routine.name,
        "presenter": routine.presenter,
        "language": routine.language,
        "segments": _segments(routine),
        "processes": [_process(process) for process in routine.processes],
        "rules": _rules(run.plan),
        "events": events_json(run.record.events),
        "urls": {
            "events": f"/api/runs/{run.record.id}/events",
            "review": f"/runs/{run.record.id}",
            "rehearse": f"/routines/{run.routine_id}/rehearse",
        },
    }


def _segments(routine: Routine) -> list[dict[str, object]]:
    steps = mark_steps(routine.segments)
    # Binary dust apart, a step is the duration itself wherever nothing runs alongside.
    return [
        {**_segment(each, routine), "likely_s": round(steps[each.id], 3)}
        for each in routine.segments
    ]


def _segment(segment: Segment, routine: Routine) -> dict[str, object]:
    names = {drink.id: drink.name for drink in routine.drinks}
    return {
        "id": segment.id,
        "name": segment.name,
        "lane": segment.lane,
        **_spread(segment.duration),
        "hands": segment.hands,
        "said": segment.said,
        "drink": names.get(segment.drink_id or ""),
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


def _script_safe(data: object) -> str:
    # Inside <script> only "<" can end the element or open a comment; JSON allows it escaped.
    return json.dumps(data, ensure_ascii=False).replace("<", "\\u003c")
