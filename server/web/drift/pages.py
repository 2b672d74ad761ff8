"""Drift: what the practice runs of a routine say, and the goal they are held to."""

from typing import Annotated

from fastapi import APIRouter, Depends, Request, Response
from sqlmodel import Session

from server.store.goals import load_goal, set_goal, undo_goal
from server.store.routines import StoredRoutine, load_routine
from server.store.rule_sheets import load_rule_sheet
from server.web.drift.goal_form import goal_from, goal_values
from server.web.drift.trend_address import AskedOfTrends
from server.web.frame.dependencies import NowMs, WriteSession, made_of
from server.web.frame.editing import Sent
from server.web.frame.forms import Form
from server.web.frame.kept_pages import Look
from server.web.frame.local_zone import today
from server.web.frame.render import page, see
from server.web.frame.shown import Page
from server.web.plan.outlook import HeldOutlooks

# Whatever needs NumPy is imported where it is used: the app starts without it.

router = APIRouter(prefix="/routines/{routine_id}/drift")


@router.get("")
async def drift_page(
    request: Request,
    look: Look,
    outlooks: HeldOutlooks,
    asked: Annotated[AskedOfTrends, Depends(made_of(AskedOfTrends))],
) -> Response:
    # As dear as the runs page, and as seldom new.
    def make(session: Session, stored: StoredRoutine) -> Response:
        from server.web.drift.trends_page import trends_page_of

        shown = trends_page_of(session, stored, outlooks, look.day, asked)
        return page(request, shown, 422 if asked.faults else 200)

    # What was refused is not kept.
    return await look.answered(("drift", asked), make, keep=not asked.faults)


@router.post("/goal")
def post_goal(sent: Sent, outlooks: HeldOutlooks, now_ms: NowMs, routine_id: str) -> Response:
    def change(session: Session) -> str:
        routine = load_routine(session, routine_id).routine
        rules = load_rule_sheet(session, routine.rule_sheet_id)
        typed = sent.merged(goal_values(load_goal(session, routine_id).now, rules).values)
        set_goal(session, routine_id, goal_from(typed))
        return f"/routines/{routine_id}/drift?goal=changed#goal"

    def again(session: Session, form: Form) -> Page:
        from server.web.drift.trends_page import trends_page_of

        stored, asked = load_routine(session, routine_id), AskedOfTrends(edit="goal")
        return trends_page_of(session, stored, outlooks, today(now_ms), asked, form)

    return sent.save(change, again)


@router.post("/goal/delete")
def post_no_goal(session: WriteSession, routine_id: str) -> Response:
    set_goal(session, routine_id, None)
    return see(f"/routines/{routine_id}/drift?goal=removed#goal")


@router.post("/goal/undo")
def post_undo_goal(session: WriteSession, routine_id: str) -> Response:
    undo_goal(session, routine_id)
    return see(f"/routines/{routine_id}/drift#goal")
