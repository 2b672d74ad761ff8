"""What follows while a block of the plan's tape is held: quick figures, and where blocks lie.

And the figures beside the tape over all slots, which load after the page.
"""

from typing import Annotated

from fastapi import APIRouter, Query, Request, Response
from fastapi.responses import JSONResponse

from server.domain.base.durations import format_duration
from server.domain.base.errors import InvalidInput
from server.domain.risk.saying import inside_words
from server.domain.routine.edits import part_of
from server.domain.routine.routine import Routine
from server.domain.whole.tryouts import all_tried, lengthen, move
from server.store.routines import load_routine
from server.store.rule_sheets import load_rule_sheet
from server.web.frame.dependencies import ReadSession
from server.web.frame.editing import Context
from server.web.frame.render import templates
from server.web.frame.telling import told
from server.web.plan.chances import chances_of, told_of
from server.web.plan.finish_picture import finish_picture
from server.web.plan.outlook import RISK, HeldOutlooks, Outlook
from server.web.plan.tape import tape_of, timed_layout

router = APIRouter(prefix="/routines/{routine_id}/plan")

Step = Annotated[float, Query(ge=-86_400, le=86_400)]
Place = Annotated[int, Query(ge=0, le=1000)]
Span = Annotated[float, Query(gt=0, le=1_000_000)]


@router.get("/chance")
def chance(
    request: Request, session: ReadSession, outlooks: HeldOutlooks, routine_id: str
) -> Response:
    """The figures beside the tape, over all slots."""
    stored = load_routine(session, routine_id)
    rules = load_rule_sheet(session, stored.routine.rule_sheet_id)
    outlook = outlooks.of(session, stored, rules)
    shown, untold = told(RISK, lambda: _chance(outlook))
    context = {"routine": stored.routine, "untold": untold, **(shown or {})}
    return templates.TemplateResponse(
        request, "plan/_chance.html", context, headers={"Cache-Control": "no-store"}
    )


def _chance(outlook: Outlook) -> Context:
    return {
        "forecast": outlook.full,
        "chances": chances_of(outlook.full, outlook.rules, outlook.routine.id),
        "told": told_of(outlook.next_run, outlook.rules, outlook.routine.id),
        "picture": finish_picture(outlook.full, outlook.rules),
        "model": outlook.model,
    }


@router.get("/next")
def next_run(
    request: Request, session: ReadSession, outlooks: HeldOutlooks, routine_id: str
) -> Response:
    """The next run in a few words, for the list of routines."""
    stored = load_routine(session, routine_id)
    rules = load_rule_sheet(session, stored.routine.rule_sheet_id)
    outlook = outlooks.of(session, stored, rules)
    shown, untold = told(RISK, lambda: told_of(outlook.next_run, rules, routine_id))
    context = {"routine": stored.routine, "told": shown, "untold": untold}
    return templates.TemplateResponse(
        request, "frame/_next_run.html", context, headers={"Cache-Control": "no-store"}
    )


@router.get("/held")
def held(
    session: ReadSession,
    outlooks: HeldOutlooks,
    routine_id: str,
    segment: str,
    span: Span,
    seconds: Step = 0.0,
    to: Place | None = None,
) -> Response:
    """The plan with a segment so much longer, or at another place: drawn and judged quickly."""
    stored = load_routine(session, routine_id)
    rules = load_rule_sheet(session, stored.routine.rule_sheet_id)
    outlook = outlooks.of(session, stored, rules)
    part_of(stored.routine.segments, segment)
    try:
        changed = _changed(stored.routine, segment, seconds, to)
    except InvalidInput as error:
        return JSONResponse({"told": error.message}, status_code=422)
    shown, untold = told(RISK, lambda: _held(outlook, changed, segment, span))
    return JSONResponse(shown or {"told": untold})


def _held(outlook: Outlook, changed: Routine, segment_id: str, span_s: float) -> dict[str, object]:
    """Where everything lies with the segment changed, the figures, and both in words."""
    rules, model = outlook.rules, outlook.changed(changed)
    forecast = outlook.quick(model)
    tape = tape_of(timed_layout(changed, model), model, rules, span_s)
    lasts = part_of(changed.segments, segment_id)
    place = [each.id for each in changed.segments].index(segment_id) + 1
    inside = inside_words(forecast, rules.slot_s)
    return {
        "places": tape.places,
        "figures": {each.id: each.value for each in chances_of(forecast, rules, changed.id)},
        "seconds": lasts.duration.likely_s,
        "told": f"{place}. {lasts.name}, {format_duration(lasts.duration.likely_s)}. {inside}.",
    }


def _changed(routine: Routine, segment_id: str, seconds: float, to: int | None) -> Routine:
    steps = [lengthen(routine, segment_id, seconds)] if seconds else []
    steps += [] if to is None else [move(routine, segment_id, to)]
    return all_tried(routine, steps)
