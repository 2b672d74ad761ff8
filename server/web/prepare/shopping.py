"""The shopping: what to buy for so many runs, and how each thing is sold."""

from collections.abc import Callable
from dataclasses import replace
from functools import partial

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from server.domain.base.text import LINE
from server.domain.prepare.shopping import shopping_of
from server.domain.routine.edits import part_of, put, without
from server.domain.routine.routine import Routine
from server.store.routines import StoredRoutine, load_routine
from server.web.frame.dependencies import NowMs, ReadSession
from server.web.frame.editing import Edit, Editor, id_or_new, routine_context, start_of_form
from server.web.frame.forms import Form
from server.web.frame.local_zone import today
from server.web.frame.render import page
from server.web.prepare.shopping_forms import GOOD, RUNS, good_from, shopping_values, with_runs
from server.web.prepare.shopping_view import (
    ShoppingPage,
    beneath_of,
    headline_of,
    needed_by,
    rows_of,
)

router = APIRouter(prefix="/routines/{routine_id}")

PLACE = "shopping"


@router.get("/shopping")
def shopping_page(
    request: Request,
    session: ReadSession,
    now_ms: NowMs,
    routine_id: str,
    edit: str = "",
    name: str = "",
) -> Response:
    stored = load_routine(session, routine_id)
    known = {f"{GOOD}{each.id}" for each in stored.routine.preparation.goods}
    edit = edit if edit in known | {RUNS, f"{GOOD}new"} else ""
    values = shopping_values(stored.routine, edit, name[:LINE]) if edit else {}
    form = start_of_form(edit, values)
    return page(request, shopping_context(session, stored, form, edit, now_ms))


@router.post("/shopping/runs")
def post_runs(edit: Edit) -> Response:
    def change(routine: Routine) -> Routine:
        return replace(routine, preparation=with_runs(edit.typed, routine.preparation))

    return _saved(edit, change, "changed how many runs are bought for", RUNS)


@router.post("/shopping/goods/{good_id}")
def post_good(edit: Edit, good_id: str) -> Response:
    def change(routine: Routine) -> Routine:
        given = routine.preparation
        good = good_from(edit.typed, id_or_new(given.goods, good_id))
        return replace(routine, preparation=replace(given, goods=put(given.goods, good)))

    return _saved(edit, change, edit.label_of(good_id), f"{GOOD}{good_id}")


@router.post("/shopping/goods/{good_id}/delete")
def post_good_delete(edit: Edit, good_id: str) -> Response:
    name = part_of(edit.routine.preparation.goods, good_id).name

    def change(routine: Routine) -> Routine:
        given = routine.preparation
        return replace(routine, preparation=replace(given, goods=without(given.goods, good_id)))

    return _saved(edit, change, f"deleted “{name}”")


def shopping_context(
    session: Session, stored: StoredRoutine, form: Form, edit: str, now_ms: int
) -> ShoppingPage:
    """What the page of the shopping shows; `edit` names the open form."""
    context = routine_context(session, stored, PLACE)
    routine = stored.routine
    shopping = shopping_of(routine, context["rules"])
    needed = needed_by(routine, today(now_ms))
    unsold = tuple(each for each in shopping.items if each.is_unsold)
    others = tuple(each for each in shopping.items if not each.is_unsold)
    return ShoppingPage(
        **context,
        headline=headline_of(shopping),
        beneath=beneath_of(shopping, routine.preparation),
        unsold=rows_of(unsold, routine, needed),
        rows=rows_of(others, routine, needed),
        made=rows_of(shopping.not_bought, routine, None),
        tasks=[(each.id, each.name) for each in routine.preparation.tasks],
        edit=edit,
        form=form,
    )


def _saved(
    edit: Editor, change: Callable[[Routine], Routine], label: str, form: str = ""
) -> Response:
    showing = partial(shopping_context, now_ms=edit.now_ms)
    return edit.save_form(change, label, PLACE, showing, shopping_values, form)
