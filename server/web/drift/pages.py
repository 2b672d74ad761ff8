"""Drift: what the practice runs of a routine say, and the goal they are held to."""

from datetime import date

from fastapi import APIRouter, Request, Response
from sqlmodel import Session
from starlette.concurrency import run_in_threadpool

from server.domain.base.errors import InvalidInput
from server.store.goals import load_goal, set_goal, undo_goal
from server.store.routines import StoredRoutine, change_of, load_routine
from server.web.drift.goal_form import aim, goal_from, goal_values, goal_words
from server.web.frame.dependencies import HeldDatabase, NowMs, TypedForm, WriteSession
from server.web.frame.editing import Context, routine_context
from server.web.frame.forms import Form
from server.web.frame.guard import Values, merged, refused
from server.web.frame.local_zone import today
from server.web.frame.page_cache import PageCache
from server.web.frame.render import page, see, wants_body
from server.web.plan.chances import chances_of, told_of
from server.web.plan.outlook import HeldOutlooks, Outlooks

# Whatever needs NumPy is imported where it is used: the app starts without it.

router = APIRouter(prefix="/routines/{routine_id}/drift")

SAID = ("changed", "removed")


@router.get("")
async def drift_page(
    request: Request,
    held: HeldDatabase,
    outlooks: HeldOutlooks,
    now_ms: NowMs,
    routine_id: str,
    edit: str = "",
    goal: str = "",
) -> Response:
    # As dear as the runs page, and as seldom new: kept until the routine changes or the day does.
    pages: PageCache = request.app.state.pages
    editing, said = edit == "goal", goal if goal in SAID else ""
    day = today(now_ms)
    place = ("drift", routine_id, day, editing, said, wants_body(request))
    writes = held.writes

    def look() -> Response:
        with held.reading() as session:

            def make() -> Response:
                context = _context(session, load_routine(session, routine_id), outlooks, day)
                more = {"editing": editing, "goal_said": said}
                return page(request, "drift", context | more)

            return pages.answer(request, place, make, change_of(session, routine_id), writes)

    standing = pages.standing(request, place, writes)
    return await run_in_threadpool(look) if standing is None else standing


@router.post("/goal")
def post_goal(
    request: Request,
    held: HeldDatabase,
    outlooks: HeldOutlooks,
    now_ms: NowMs,
    routine_id: str,
    typed: TypedForm,
) -> Response:
    now: Values = {}
    try:
        with held.writing() as session:
            rules = routine_context(session, load_routine(session, routine_id), "runs")["rules"]
            now = goal_values(load_goal(session, routine_id).now, rules).values
            typed = merged(typed, now)
            set_goal(session, routine_id, goal_from(typed))
    except InvalidInput as error:
        form = refused(typed, error, now)
        with held.reading() as session:
            stored = load_routine(session, routine_id)
            context = _context(session, stored, outlooks, today(now_ms), form)
        return page(request, "drift", context | {"editing": True, "goal_said": ""}, 422)
    return see(f"/routines/{routine_id}/drift?goal=changed#goal")


@router.post("/goal/delete")
def post_no_goal(session: WriteSession, routine_id: str) -> Response:
    set_goal(session, routine_id, None)
    return see(f"/routines/{routine_id}/drift?goal=removed#goal")


@router.post("/goal/undo")
def post_undo_goal(session: WriteSession, routine_id: str) -> Response:
    undo_goal(session, routine_id)
    return see(f"/routines/{routine_id}/drift#goal")


def _context(
    session: Session,
    stored: StoredRoutine,
    outlooks: Outlooks,
    day: date,
    form: Form | None = None,
) -> Context:
    """What the page shows; `form` is a goal that was typed and refused."""
    from server.domain.drift.sentences import sentences
    from server.web.drift import view
    from server.web.drift.groups import pair_tables
    from server.web.drift.pictures import picture_data
    from server.web.drift.reading import read_drift

    reading = read_drift(session, stored, outlooks)
    drift, rules = reading.drift, reading.rules
    goal = load_goal(session, stored.routine.id).now
    ahead = drift.ahead
    told = ahead and told_of(ahead, rules, stored.routine.id)
    return {
        **routine_context(session, stored, "runs"),
        "reading": reading,
        "drift": drift,
        "told": told,
        "chances": chances_of(ahead.forecast, rules, stored.routine.id) if ahead else (),
        "untold": reading.untold,
        "view": view,
        "sentences": sentences(drift, today=day),
        "rows": view.series_rows(reading),
        "past": view.forecast_rows(reading),
        "tellable": view.tellable(drift),
        "calibration": view.calibration_rows(drift.calibration),
        "pairs": pair_tables(drift, drift.pairs),
        "pictures": picture_data(reading),
        "aim": aim(goal, reading.lines),
        "goal_told": goal and ahead and goal_words(goal, ahead.forecast, rules),
        "form": form or goal_values(goal, rules),
    }
