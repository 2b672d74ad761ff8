"""Today: the first page of a routine, and what can be done from it at one touch."""

from dataclasses import replace
from functools import partial

from fastapi import APIRouter, Request, Response
from sqlmodel import Session
from starlette.concurrency import run_in_threadpool

from server.domain.base.errors import InvalidInput
from server.domain.base.standings import follows_alone
from server.domain.routine.patterns import MOST_DRINKS, drinks_offered, with_pattern
from server.domain.routine.routine import Routine
from server.store.annotating import exclude_run
from server.store.database import Database
from server.store.ids import new_id
from server.store.routines import StoredRoutine
from server.store.rule_sheets import load_rule_sheet
from server.store.runs import require_run_of
from server.store.watchers import open_runs
from server.web.frame.dependencies import HeldDatabase, NowMs, TypedForm, WriteSession
from server.web.frame.door import HeldAsker
from server.web.frame.editing import Edit
from server.web.frame.forms import Form
from server.web.frame.kept_pages import Look
from server.web.frame.local_zone import today
from server.web.frame.offered.links import first_place
from server.web.frame.render import page, see
from server.web.plan.outlook import HeldOutlooks
from server.web.runs.remarks_done import call_done, call_open, just_done
from server.web.today.acts import change_named
from server.web.today.view import today_page

router = APIRouter(prefix="/routines/{routine_id}")


@router.get("")
async def get_today(
    request: Request,
    look: Look,
    held: HeldDatabase,
    outlooks: HeldOutlooks,
    asker: HeldAsker,
    now_ms: NowMs,
    routine_id: str,
    settled: str = "",
) -> Response:
    if not asker.may("study"):
        return see(f"{request.url.path}/{first_place(asker)}")
    # It joins all rooms and is looked at most.
    done, open_run = just_done(settled), ""
    if follows_alone(asker.grants.asks):
        open_run = await run_in_threadpool(_open_run, held, routine_id, now_ms)

    def make(session: Session, stored: StoredRoutine) -> Response:
        shown = today_page(session, stored, Form(), outlooks, look.day, done)
        return page(request, replace(shown, open_run=open_run))

    return await look.answered(("today", settled, open_run), make)


def _open_run(held: Database, routine_id: str, now_ms: int) -> str:
    with held.reading() as session:
        return open_runs(session, [routine_id], now_ms).get(routine_id, "")


@router.post("/today")
def post_act(edit: Edit, outlooks: HeldOutlooks, routine_id: str) -> Response:
    """Do what a line of the list offers."""
    rules = load_rule_sheet(edit.session, edit.routine.rule_sheet_id)
    change, label = change_named(edit.typed.text("action"), edit, rules)
    return edit.save(
        change, label, "today", partial(today_page, outlooks=outlooks, day=today(edit.now_ms))
    )


@router.post("/pattern")
def post_pattern(edit: Edit, outlooks: HeldOutlooks, routine_id: str) -> Response:
    """Start from an empty pattern of segments that fills the slot."""
    rules = load_rule_sheet(edit.session, edit.routine.rule_sheet_id)
    typed = edit.typed

    def change(routine: Routine) -> Routine:
        # The number that stands in grey in the empty field is the one that is offered.
        drinks = drinks_offered(routine)
        if typed.text("drinks"):
            drinks = typed.whole_number("drinks", 1, MOST_DRINKS)
        typed.check()
        return with_pattern(routine, rules.target_s, drinks, new_id)

    label = "started from a pattern"
    return edit.save(
        change, label, "today", partial(today_page, outlooks=outlooks, day=today(edit.now_ms))
    )


@router.post("/remarks/settle")
def post_settle(session: WriteSession, routine_id: str, typed: TypedForm) -> Response:
    return see(f"/routines/{routine_id}?settled={call_done(session, routine_id, typed)}")


@router.post("/remarks/unsettle")
def post_unsettle(session: WriteSession, routine_id: str, typed: TypedForm) -> Response:
    call_open(session, routine_id, typed)
    return see(f"/routines/{routine_id}")


@router.post("/counting")
def post_counting(session: WriteSession, routine_id: str, typed: TypedForm) -> Response:
    """Whether a doubtful run counts."""
    choices = {"count run": False, "leave out run": True}
    if typed.text("action") not in choices:
        raise InvalidInput.of("action", "Say whether the run counts.")
    require_run_of(session, routine_id, typed.text("run"))
    exclude_run(session, typed.text("run"), choices[typed.text("action")])
    return see(f"/routines/{routine_id}")
