"""The list of routines: make, open, copy, order, delete and bring back."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Annotated

from fastapi import APIRouter, Query, Request, Response
from sqlmodel import Session

from server.domain.base.errors import Fault, InvalidInput
from server.domain.base.standings import EVERYTHING, RoutineAsk, follows_alone
from server.domain.glass.alcohol import Definition
from server.domain.routine.plan import layout
from server.domain.routine.routine import LANGUAGES, STANDARD_DRINKS, Routine
from server.domain.routine.rules import RuleSheet
from server.domain.runs.counting import Tally
from server.store.across_runs import tally_runs
from server.store.ids import new_id
from server.store.lost.damaged import DamagedRoutine, damaged_routines, go_back_to_readable
from server.store.lost.deleted import DeletedThing, deleted_things
from server.store.routine_copies import copy_routine
from server.store.routines import (
    create_routine,
    delete_routine,
    list_routines,
    move_routine,
    restore_routine,
    routine_ids,
)
from server.store.rule_sheets import list_rule_sheets, load_rule_sheet
from server.store.watchers import open_runs
from server.web.frame.dependencies import HeldDatabase, NowMs, ReadSession, TypedForm, WriteSession
from server.web.frame.forms import Form, Typed
from server.web.frame.offered.scope import HeldScope, Scope
from server.web.frame.render import page, see
from server.web.frame.shown import Page

router = APIRouter()


LISTED = 20
"""Routines listed at a time: nobody reads thousands, and they take their time."""


@dataclass(frozen=True)
class RoutineLine:
    """A routine as the list shows it."""

    routine: Routine
    rules: RuleSheet
    total_s: float
    runs: Tally
    asks: frozenset[RoutineAsk] = EVERYTHING
    """What of it who looks may be given."""
    open_run: str = ""
    """Its run that is open to watchers just now, for who follows runs and presents none."""


@dataclass(frozen=True, kw_only=True)
class HomePage(Page, folder="home"):
    """The list of routines."""

    lines: Sequence[RoutineLine]
    called: str = ""
    """What the routines that are listed are called, where one looks for some."""
    more: int = 0
    """How many to list next, where there are more than these."""
    gone: int
    """How many things were deleted and can be brought back."""
    damaged: Sequence[DamagedRoutine]
    just_deleted: DeletedThing | None
    sheets: Sequence[RuleSheet]
    languages: Mapping[str, str]
    form: Form
    import_faults: tuple[Fault, ...] = ()
    backup_trouble: str | None = None


@router.get("/")
def home_page(
    request: Request,
    session: ReadSession,
    scope: HeldScope,
    now_ms: NowMs,
    deleted: str = "",
    called: str = "",
    listed: Annotated[int, Query(ge=1, le=100_000)] = LISTED,
) -> Response:
    shown = home_page_of(session, scope, now_ms, deleted, called=called.strip(), most=listed)
    if scope.sees_the_house:
        shown = replace(shown, backup_trouble=request.app.state.nightly.trouble)
    return page(request, shown)


@router.get("/routines")
def routines_page() -> Response:
    """Where a form that was refused left its address, which is asked for anew on a reload."""
    return see("/")


@router.post("/routines")
def post_routine(
    request: Request, held: HeldDatabase, scope: HeldScope, now_ms: NowMs, typed: TypedForm
) -> Response:
    try:
        routine = routine_from(typed, new_id())
        with held.writing() as session:
            check_rule_sheet(session, routine, scope)
            create_routine(session, routine, now_ms)
            scope.own(session, routine.id, now_ms)
    except InvalidInput as error:
        with held.reading() as session:
            shown = home_page_of(session, scope, now_ms, form=Form(typed.values, error.faults))
        return page(request, shown, 422)
    return see(f"/routines/{routine.id}")


@router.post("/routines/{routine_id}/copy")
def post_copy(session: WriteSession, scope: HeldScope, now_ms: NowMs, routine_id: str) -> Response:
    copy = copy_routine(session, routine_id, now_ms, scope.routines(session))
    scope.own(session, copy.id, now_ms)
    return see(f"/routines/{copy.id}/details")


@router.post("/routines/{routine_id}/delete")
def post_delete(session: WriteSession, now_ms: NowMs, routine_id: str) -> Response:
    delete_routine(session, routine_id, now_ms)
    return see(f"/?deleted={routine_id}")


@router.post("/routines/{routine_id}/restore")
def post_restore(session: WriteSession, routine_id: str) -> Response:
    restore_routine(session, routine_id)
    return see("/")


@router.post("/routines/{routine_id}/readable")
def post_readable(session: WriteSession, routine_id: str) -> Response:
    """Go back to the last state of a damaged routine that can be read."""
    go_back_to_readable(session, routine_id)
    return see(f"/routines/{routine_id}/plan")


@router.post("/routines/{routine_id}/move")
def post_move(
    session: WriteSession, scope: HeldScope, routine_id: str, typed: TypedForm
) -> Response:
    move_routine(session, routine_id, typed.position(), scope.routines(session))
    return see("/")


def home_page_of(
    session: Session,
    scope: Scope,
    now_ms: int,
    deleted: str = "",
    form: Form | None = None,
    called: str = "",
    most: int = LISTED,
) -> HomePage:
    """What the list of routines shows: the first `most`, or of those that are `called` so.

    `deleted` is the id of one just deleted.
    """
    granted = scope.grants(session)
    ids = routine_ids(session, most + 1, called, scope.routines(session))
    listed = ids[:most]
    runs = tally_runs(session, listed)
    routines = list_routines(session, within=listed)
    opened = open_runs(session, listed, now_ms)
    rules = {key: load_rule_sheet(session, key) for key in {r.rule_sheet_id for r in routines}}
    lines = [
        RoutineLine(
            routine=routine,
            rules=rules[routine.rule_sheet_id],
            total_s=layout(routine).total_s,
            runs=runs.get(routine.id, Tally()),
            asks=granted.of(routine.id),
            open_run=opened.get(routine.id, "") if follows_alone(granted.of(routine.id)) else "",
        )
        for routine in routines
    ]
    gone = deleted_things(session, now_ms, granted.routines("edit"))
    unread = set(listed) - {line.routine.id for line in lines}
    damaged = damaged_routines(session, unread) if unread else []
    return HomePage(
        lines=lines,
        called=called,
        more=most + LISTED if len(ids) > most else 0,
        gone=len(gone),
        damaged=[each for each in damaged if "edit" in granted.of(each.id)],
        just_deleted=next((each for each in gone if each.id == deleted), None),
        sheets=list_rule_sheets(session, scope.sheets(session)),
        languages=LANGUAGES,
        form=form or Form({"language": "en"}),
    )


def routine_from(typed: Typed, routine_id: str) -> Routine:
    """The routine that a form describes; raises InvalidInput with every fault."""
    usual: Definition = "WHO"
    standard_drink = typed.chosen("standard_drink", STANDARD_DRINKS, usual)
    return typed.built(
        lambda: Routine(
            id=routine_id,
            name=typed.text("name"),
            presenter=typed.text("presenter"),
            language=typed.text("language") or "en",
            rule_sheet_id=typed.text("rules"),
            notes=typed.text("notes"),
            standard_drink=standard_drink,
        )
    )


def check_rule_sheet(session: Session, routine: Routine, scope: Scope) -> None:
    """Raise InvalidInput where the routine names a rule sheet that cannot be chosen."""
    offered = list_rule_sheets(session, scope.sheets(session))
    if all(sheet.id != routine.rule_sheet_id for sheet in offered):
        raise InvalidInput.of("rules", "Choose a rule sheet from the list.")
