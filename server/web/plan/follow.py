"""What follows while a block of the plan's tape is held: quick figures, and where blocks lie.

And the figures beside the tape over all slots, which load after the page.
"""

from typing import Annotated

from fastapi import APIRouter, Query, Request, Response
from fastapi.responses import JSONResponse

from server.domain.base.durations import LONGEST_S
from server.domain.base.errors import InvalidInput
from server.domain.routine.edits import part_of
from server.domain.routine.plan import layout
from server.domain.routine.routine import Routine
from server.domain.whole.tryouts import all_tried, lengthen, move
from server.web.frame.dependencies import ReadSession
from server.web.frame.render import part
from server.web.frame.telling import told
from server.web.plan.effect import effect_of
from server.web.plan.followed import followed
from server.web.plan.outlook import RISK, HeldOutlooks
from server.web.plan.tape import tape_of
from server.web.plan.view import head_chance, headline_of, process_rows

router = APIRouter(prefix="/routines/{routine_id}/plan")

Step = Annotated[float, Query(ge=-LONGEST_S, le=LONGEST_S)]
Place = Annotated[int, Query(ge=0, le=1000)]
Span = Annotated[float, Query(gt=0, le=1_000_000)]


@router.get("/chance")
def chance(
    request: Request, session: ReadSession, outlooks: HeldOutlooks, routine_id: str
) -> Response:
    """The headline and the line beneath the tape, over all slots: they take a moment."""
    outlook = outlooks.of_routine(session, routine_id)
    forecast, untold = told(RISK, lambda: outlook.full if outlook.routine.segments else None)
    placed = layout(outlook.routine)
    shown = {
        "routine": outlook.routine,
        "rules": outlook.rules,
        "head": headline_of(outlook, placed, untold, with_chance=forecast is not None),
        "tape": tape_of(outlook.routine, outlook.model, outlook.rules, forecast, outlook.takes),
        "processes": process_rows(placed, forecast),
        "edit": "",
        "swaps": True,
    }
    return part(request, "plan/_chance.html", shown)


@router.get("/effect/{segment_id}")
def effect(
    request: Request,
    session: ReadSession,
    outlooks: HeldOutlooks,
    routine_id: str,
    segment_id: str,
) -> Response:
    """What a segment planned as it is run would bring, and what one run as planned would."""
    outlook = outlooks.of_routine(session, routine_id)
    shown, untold = told(RISK, lambda: effect_of(outlook, segment_id))
    return part(request, "plan/_effect.html", {"effect": shown, "untold": untold})


@router.get("/next")
def next_run(
    request: Request, session: ReadSession, outlooks: HeldOutlooks, routine_id: str
) -> Response:
    """The next run in a few words, for the list of routines."""
    outlook = outlooks.of_routine(session, routine_id)
    chance, untold = told(RISK, lambda: head_chance(outlook))
    shown, but = (chance.told, chance.but) if chance else (None, "")
    values = {"routine": outlook.routine, "told": shown, "but": but, "untold": untold}
    return part(request, "frame/_next_run.html", values)


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
    outlook = outlooks.of_routine(session, routine_id)
    part_of(outlook.routine.segments, segment)
    try:
        changed = _changed(outlook.routine, segment, seconds, to)
    except InvalidInput as error:
        return JSONResponse({"told": error.message}, status_code=422)
    shown, untold = told(RISK, lambda: followed(outlook, changed, segment, span).values)
    return JSONResponse(shown or {"told": untold})


def _changed(routine: Routine, segment_id: str, seconds: float, to: int | None) -> Routine:
    steps = [lengthen(routine, segment_id, seconds)] if seconds else []
    steps += [] if to is None else [move(routine, segment_id, to)]
    return all_tried(routine, steps)
