"""Rule sheets: how long the slot is and what running over costs, as the user knows it."""

from dataclasses import dataclass, replace

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from server.domain.base.durations import write_duration
from server.domain.base.errors import InvalidInput
from server.domain.base.numbers import write_number
from server.domain.routine.rules import RuleSheet
from server.domain.routine.time_calls import doubts, written
from server.store.ids import new_id
from server.store.rule_sheets import (
    delete_rule_sheet,
    list_rule_sheets,
    load_rule_sheet,
    restore_rule_sheet,
    save_rule_sheet,
)
from server.web.frame.dependencies import HeldDatabase, NowMs, ReadSession, TypedForm, WriteSession
from server.web.frame.editing import NEW
from server.web.frame.forms import Form, Typed
from server.web.frame.guard import Values, merged, opened, refused
from server.web.frame.offered.scope import HeldScope, Scope
from server.web.frame.render import page, part, see
from server.web.frame.shown import Page
from server.web.routines.criteria_form import (
    CriterionRow,
    criteria_from,
    criterion_rows,
    criterion_values,
)
from server.web.routines.time_calls import Readings, calls_from, readings_of

router = APIRouter(prefix="/rules")


@dataclass(frozen=True, kw_only=True)
class RulesPage(Page, folder="rules"):
    """All rule sheets; `just_deleted` can be brought back."""

    sheets: list[RuleSheet]
    own: frozenset[str] | None
    """The ids of those that who looks may change; None for all."""
    just_deleted: RuleSheet | None


@dataclass(frozen=True, kw_only=True)
class RuleSheetPage(Page, folder="rule_sheet"):
    """The form of a rule sheet, with the rows of its criteria and how its calls are read."""

    sheet_id: str
    form: Form
    criteria: list[CriterionRow]
    readings: Readings
    may_change: bool


@router.get("")
def rules_page(
    request: Request, session: ReadSession, scope: HeldScope, deleted: str = ""
) -> Response:
    return page(request, _rules_page(session, scope, deleted))


@router.get("/{sheet_id}")
def sheet_page(request: Request, session: ReadSession, scope: HeldScope, sheet_id: str) -> Response:
    sheet = _blank() if sheet_id == NEW else load_rule_sheet(session, sheet_id)
    form = Form(_values(sheet)) if sheet_id == NEW else opened(_values(sheet))
    own = scope.own_sheets(session)
    may_change = own is None or sheet_id == NEW or sheet_id in own
    return _sheet_page(request, sheet_id, form, may_change=may_change)


@router.post("/{sheet_id}")
def post_sheet(
    request: Request, held: HeldDatabase, scope: HeldScope, sheet_id: str, typed: TypedForm
) -> Response:
    now: Values | None = None
    try:
        with held.writing() as session:
            if sheet_id != NEW:
                now = _values(load_rule_sheet(session, sheet_id))
                typed = merged(typed, now)
            known_id = new_id() if sheet_id == NEW else sheet_id
            save_rule_sheet(session, sheet_from(typed, known_id))
            if sheet_id == NEW:
                scope.own_sheet(session, known_id)
    except InvalidInput as error:
        return _sheet_page(request, sheet_id, refused(typed, error, now), 422)
    return see(f"/rules#sheet-{known_id}")


@router.post("/{sheet_id}/calls")
def post_calls(request: Request, typed: TypedForm) -> Response:
    """How the time calls are read as they stand in the form; nothing is saved."""
    shown = {"readings": readings_of(typed.values)}
    return part(request, "routines/rule_sheet/_calls.html", shown)


@router.post("/{sheet_id}/copy")
def post_copy(session: WriteSession, scope: HeldScope, sheet_id: str) -> Response:
    sheet = load_rule_sheet(session, sheet_id)
    copy = replace(sheet, id=new_id(), name=f"{sheet.name[:100]} (copy)")
    save_rule_sheet(session, copy)
    scope.own_sheet(session, copy.id)
    return see(f"/rules/{copy.id}")


@router.post("/{sheet_id}/delete")
def post_delete(session: WriteSession, scope: HeldScope, now_ms: NowMs, sheet_id: str) -> Response:
    delete_rule_sheet(session, sheet_id, now_ms, scope.routines(session))
    return see(f"/rules?deleted={sheet_id}")


@router.post("/{sheet_id}/restore")
def post_restore(session: WriteSession, sheet_id: str) -> Response:
    restore_rule_sheet(session, sheet_id)
    return see("/rules")


def _sheet_page(
    request: Request, sheet_id: str, form: Form, status: int = 200, *, may_change: bool = True
) -> Response:
    rows = criterion_rows(form.values)
    readings = readings_of(form.values)
    if form.messages("calls") or form.messages("calls_meant"):
        # Told beside the field or the question then, and not twice.
        readings = replace(readings, warnings=())
    shown = RuleSheetPage(
        sheet_id=sheet_id,
        form=form,
        criteria=rows,
        readings=readings,
        may_change=may_change,
    )
    return page(request, shown, status)


def sheet_from(typed: Typed, sheet_id: str) -> RuleSheet:
    """The rule sheet that a form describes; raises InvalidInput with every fault."""
    slot_s, target_s = typed.minutes("slot"), typed.minutes("target")
    grace_s = typed.optional_duration("grace") or 0.0
    cutoff_s = typed.optional_minutes("cutoff")
    set_up_s, clear_s = typed.optional_minutes("set_up"), typed.optional_minutes("clear")
    waiting_s = typed.optional_minutes("waiting")
    if typed.failed("slot", "target", "cutoff"):
        slot_s, target_s, cutoff_s = RuleSheet.slot_s, RuleSheet.target_s, None
    penalty = typed.number("penalty")
    every_s = typed.optional_duration("every") or 1.0
    cap = typed.optional_number("cap")
    serves = typed.whole_number("serves", 1, 100)
    calls = calls_from(typed, slot_s)
    criteria = criteria_from(typed)
    return typed.built(
        lambda: RuleSheet(
            id=sheet_id,
            name=typed.text("name"),
            slot_s=slot_s,
            target_s=target_s,
            time_calls=calls,
            grace_s=grace_s,
            penalty_per_s=penalty,
            penalty_every_s=every_s,
            penalty_cap=cap,
            cutoff_s=cutoff_s,
            serves_per_drink=serves,
            notes=typed.text("notes"),
            declare_all=typed.ticked("declare_all"),
            criteria=criteria,
            set_up_s=set_up_s,
            clear_s=clear_s,
            waiting_s=waiting_s,
        )
    )


def _blank() -> RuleSheet:
    return RuleSheet(id=NEW, name="New rule sheet")


def _rules_page(session: Session, scope: Scope, deleted: str) -> RulesPage:
    sheets, own = list_rule_sheets(session, scope.sheets(session)), scope.own_sheets(session)
    is_gone = deleted and all(sheet.id != deleted for sheet in sheets)
    is_ones_own = own is None or deleted in own
    just_deleted = load_rule_sheet(session, deleted) if is_gone and is_ones_own else None
    return RulesPage(sheets=sheets, own=own, just_deleted=just_deleted)


def _values(sheet: RuleSheet) -> dict[str, str]:
    return {
        "name": "" if sheet.id == NEW else sheet.name,
        "slot": write_duration(sheet.slot_s),
        "target": write_duration(sheet.target_s),
        "calls": "\n".join(written(call, sheet.slot_s) for call in sheet.time_calls),
        "grace": write_duration(sheet.grace_s),
        "penalty": write_number(sheet.penalty_per_s),
        "every": write_duration(sheet.penalty_every_s),
        "cap": "" if sheet.penalty_cap is None else write_number(sheet.penalty_cap),
        "cutoff": "" if sheet.cutoff_s is None else write_duration(sheet.cutoff_s),
        "set_up": "" if sheet.set_up_s is None else write_duration(sheet.set_up_s),
        "clear": "" if sheet.clear_s is None else write_duration(sheet.clear_s),
        "waiting": "" if sheet.waiting_s is None else write_duration(sheet.waiting_s),
        "serves": str(sheet.serves_per_drink),
        "notes": sheet.notes,
        "declare_all": "yes" if sheet.declare_all else "",
        **({"calls_meant": "yes"} if doubts(sheet.time_calls, sheet.slot_s) else {}),
        **criterion_values(sheet.criteria),
    }
