"""What a routine is called, who presents it, and the rules it is measured against; undo."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import partial

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from server.domain.glass.alcohol import Definition
from server.domain.routine.routine import LANGUAGES, STANDARD_DRINKS, Routine
from server.domain.routine.rules import RuleSheet
from server.store.routines import StoredRoutine, load_routine, redo_edit, undo_edit
from server.store.rule_sheets import list_rule_sheets
from server.web.frame.dependencies import ReadSession, TypedForm, WriteSession
from server.web.frame.editing import Edit, place_after, routine_context
from server.web.frame.forms import Form
from server.web.frame.guard import opened
from server.web.frame.offered.scope import HeldScope, Scope
from server.web.frame.render import page, see
from server.web.frame.shown import RoutinePage
from server.web.routines.pages import check_rule_sheet, routine_from

router = APIRouter(prefix="/routines/{routine_id}")

PLACES = (
    "today", "details", "drinks", "script", "claims", "words", "plan", "prepare", "prep",
    "shopping", "station",
)  # fmt: skip
"""Pages of a routine that edit it; undo and redo lead back to the one they were asked on."""


@dataclass(frozen=True, kw_only=True)
class DetailsPage(RoutinePage, folder="details"):
    """The form of what a routine is called and measured against, with what can be chosen."""

    form: Form
    languages: Mapping[str, str]
    standard_drinks: Mapping[Definition, str]
    sheets: list[RuleSheet]


@router.get("/details")
def details_page(
    request: Request, session: ReadSession, scope: HeldScope, routine_id: str
) -> Response:
    stored = load_routine(session, routine_id)
    return page(request, _shown(session, stored, opened(_values(stored.routine)), scope))


@router.post("/details")
def post_details(edit: Edit, scope: HeldScope, routine_id: str) -> Response:
    def change(old: Routine) -> Routine:
        new = routine_from(edit.typed, routine_id)
        check_rule_sheet(edit.session, new, scope)
        return _with_details(old, new)

    shown = partial(_shown, scope=scope)
    return edit.save(change, "changed the details", "details", shown, against=_values)


@router.post("/undo")
def post_undo(session: WriteSession, routine_id: str, typed: TypedForm) -> Response:
    return _step(session, routine_id, undo_edit, typed.text("back"))


@router.post("/redo")
def post_redo(session: WriteSession, routine_id: str, typed: TypedForm) -> Response:
    return _step(session, routine_id, redo_edit, typed.text("back"))


def _shown(session: Session, stored: StoredRoutine, form: Form, scope: Scope) -> DetailsPage:
    return DetailsPage(
        **routine_context(session, stored, "details"),
        form=form,
        languages=LANGUAGES,
        standard_drinks=STANDARD_DRINKS,
        sheets=list_rule_sheets(session, scope.sheets(session)),
    )


def _values(routine: Routine) -> dict[str, str]:
    return {
        "name": routine.name,
        "presenter": routine.presenter,
        "language": routine.language,
        "rules": routine.rule_sheet_id,
        "notes": routine.notes,
        "standard_drink": routine.standard_drink,
    }


def _with_details(old: Routine, new: Routine) -> Routine:
    return replace(
        old,
        name=new.name,
        presenter=new.presenter,
        language=new.language,
        rule_sheet_id=new.rule_sheet_id,
        notes=new.notes,
        standard_drink=new.standard_drink,
    )


def _step(
    session: Session, routine_id: str, step: Callable[[Session, str], None], place: str
) -> Response:
    before = load_routine(session, routine_id).routine
    step(session, routine_id)
    after = load_routine(session, routine_id).routine
    return see(place_after(before, after, place if place in PLACES else "plan", stays=True))
