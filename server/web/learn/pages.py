"""How the script sits: what to say today, and the plan to the day."""

from dataclasses import replace
from datetime import date
from functools import partial

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from server.domain.base.errors import InvalidInput
from server.domain.base.text import LINE
from server.domain.belief.words_pace import learn_paces
from server.domain.learn.aim import LearningAim
from server.domain.learn.cost import cost_of_stumbles
from server.domain.learn.days_ahead import plan_to
from server.domain.routine.routine import Routine
from server.domain.routine.rules import RuleSheet
from server.store.learning import aim_of, set_aim
from server.store.paces import spoken_in_runs
from server.store.routines import StoredRoutine, load_routine
from server.store.runs import list_runs
from server.web.drinks.checked import checked
from server.web.frame.dependencies import NowMs
from server.web.frame.editing import Sent, routine_context
from server.web.frame.filters import weekday_words
from server.web.frame.forms import Form, Typed
from server.web.frame.guard import opened
from server.web.frame.kept_pages import Look
from server.web.frame.local_zone import today
from server.web.frame.render import page
from server.web.learn.gather import Learning, learning_of
from server.web.learn.view import (
    LearnPage,
    cost_words,
    days_of,
    headline_of,
    memory_words,
    segments_of,
    stumbles_of,
    tape_words,
    verdict_of,
)

router = APIRouter(prefix="/routines/{routine_id}/learn")

AIM = "aim"


@router.get("")
async def learn_page(request: Request, look: Look, edit: str = "", minutes: str = "") -> Response:
    edit = edit if edit == AIM else ""

    def make(session: Session, stored: StoredRoutine) -> Response:
        form = opened(aim_values(aim_of(session, stored.routine.id))) if edit else Form()
        if minutes:
            form = replace(form, values={**form.values, "minutes": minutes[:LINE]})
        return page(request, learn_context(session, stored, form, look.day, edit))

    return await look.answered(("learn", edit), make, keep=not minutes)


@router.post("/aim")
def post_aim(sent: Sent, now_ms: NowMs, routine_id: str) -> Response:
    """How long one learns on a day, and for which day where no time on stage is known."""
    day = today(now_ms)

    def change(session: Session) -> str:
        typed = sent.merged(aim_values(aim_of(session, routine_id)))
        set_aim(session, routine_id, aim_from(typed, day))
        return f"/routines/{routine_id}/learn"

    def again(session: Session, form: Form) -> LearnPage:
        return learn_context(session, load_routine(session, routine_id), form, day, AIM)

    return sent.save(change, again)


def learning_now(session: Session, routine: Routine, rules: RuleSheet, day: date) -> Learning:
    """How the script sits, gathered for a page of learning."""
    paces = learn_paces(spoken_in_runs(session, routine))
    runs = list_runs(session, routine.id)
    return learning_of(session, routine, checked(routine, rules), paces, runs, day)


def learn_context(
    session: Session, stored: StoredRoutine, form: Form, day: date, edit: str = ""
) -> LearnPage:
    """What the page of learning shows."""
    context = routine_context(session, stored, "script")
    routine, rules = stored.routine, context["rules"]
    learning = learning_now(session, routine, rules, day)
    make = partial(plan_to, today=day, all_=learning.standings, minutes=learning.aim.minutes)
    plan = None if learning.stage is None else make(learning.stage)
    rows, end = segments_of(routine, rules, learning)
    counted = [line for line in list_runs(session, routine.id) if line.splits_count]
    splits = [
        (
            line.started_ms or line.created_ms,
            {k: ms / 1000 for k, ms in line.summary.splits_ms.items()},
        )
        for line in counted
    ]
    cost = cost_of_stumbles(splits, learning.sentences, learning.marks)
    return LearnPage(
        **context,
        headline=headline_of(learning),
        verdict=verdict_of(learning, plan),
        is_late=plan is not None and not plan.outcome.is_enough,
        needed=None if plan is None else plan.needed,
        today=learning.session,
        segments=rows,
        end=end,
        tape_words=tape_words(rows),
        stumbles=stumbles_of(routine, learning),
        cost=cost_words(cost, learning),
        memory=memory_words(learning.own),
        days=days_of(plan),
        minutes=learning.aim.minutes,
        stage=weekday_words(learning.stage) if learning.stage else "",
        sitting=learning.sitting,
        count=len(learning.standings),
        edit=edit,
        asks_for_day=routine.preparation.journey.stage_ms is None,
        form=form,
    )


def aim_values(aim: LearningAim | None) -> dict[str, str]:
    """The texts with which the form starts."""
    given = aim or LearningAim()
    return {"minutes": str(given.minutes), "day": given.day.isoformat() if given.day else ""}


def aim_from(typed: Typed, day: date) -> LearningAim:
    """What a form aims for; a day that is past is refused."""
    minutes = typed.whole_number("minutes", 1, 240)
    stage = typed.take(lambda: _day(typed.text("day"), day), None)
    return typed.built(lambda: LearningAim(minutes, stage))


def _day(text: str, now: date) -> date | None:
    if not text:
        return None
    try:
        found = date.fromisoformat(text)
    except ValueError as error:
        raise InvalidInput.of("day", "Give a day such as 2026-11-29.") from error
    if found <= now:
        raise InvalidInput.of("day", "That day is past or today: choose one that is still to come.")
    return found
