"""The kit: looked at, ticked by touch on several devices, and added to by hand."""

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from urllib.parse import urlencode

from fastapi import APIRouter, Request, Response
from fastapi.responses import JSONResponse
from sqlmodel import Session

from server.domain.base.errors import InvalidInput
from server.domain.prepare.kit import KINDS, KitThing, kit_of, packing_of
from server.domain.routine.edits import part_of, put, without
from server.domain.routine.preparing import Preparation
from server.domain.routine.routine import Routine
from server.store.packing import (
    pack_anew,
    pack_as_before,
    tick,
    ticks_of,
    was_packed_before,
)
from server.store.routines import StoredRoutine, load_routine
from server.store.rule_sheets import load_rule_sheet
from server.web.frame.dependencies import NowMs, ReadSession, TypedForm, WriteSession
from server.web.frame.editing import Edit, Editor, id_or_new, routine_context, start_of_form
from server.web.frame.forms import Form
from server.web.frame.render import page, see
from server.web.prepare.kit_forms import RESERVE, kit_values, thing_from, with_reserve
from server.web.prepare.kit_view import (
    FOR,
    OCCASIONS,
    KitPage,
    Where,
    gone_of,
    groups_of,
    headline_of,
    panel_of,
    standing_of,
    warnings_of,
)
from server.web.prepare.prep_view import MADE

router = APIRouter(prefix="/routines/{routine_id}")

PLACE = "prepare"


@router.get("/prepare")
def kit_page(
    request: Request,
    session: ReadSession,
    routine_id: str,
    at: str = "event",
    edit: str = "",
    open: str = "",
) -> Response:
    stored = load_routine(session, routine_id)
    edit = edit if _is_there(stored.routine, edit) else ""
    form = start_of_form(edit, kit_values(stored.routine, edit)) if edit else Form()
    return page(request, kit_context(session, stored, form, edit, at, open))


@router.get("/prepare/ticks")
def get_ticks(session: ReadSession, routine_id: str, at: str = "event") -> Response:
    """What is ticked now, for the devices that tick at once."""
    kit = kit_of_stored(session, load_routine(session, routine_id).routine)
    return JSONResponse(standing_of(kit, ticks_of(session, routine_id, _occasion(at))))


@router.post("/prepare/ticks")
def post_tick(
    request: Request, session: WriteSession, now_ms: NowMs, routine_id: str, typed: TypedForm
) -> Response:
    """A thing was ticked, or was not any more, `ago` ms ago; said twice it does no harm."""
    occasion, key = typed.text("at"), typed.text("key")
    ago_ms = typed.optional_number("ago") or 0.0
    typed.check()
    said_ms = now_ms - round(min(max(ago_ms, 0.0), now_ms))
    packed, amount = typed.ticked("packed"), typed.text("amount")
    tick(session, routine_id, occasion, key, packed=packed, said_ms=said_ms, amount=amount)
    if "application/json" in request.headers.get("accept", ""):
        return Response(status_code=204)
    if occasion == MADE:
        return see(f"/routines/{routine_id}/prep")
    return see(_address(routine_id, occasion))


@router.post("/prepare/anew")
def post_anew(session: WriteSession, now_ms: NowMs, routine_id: str, typed: TypedForm) -> Response:
    occasion = _occasion(typed.text("at"))
    pack_anew(session, routine_id, occasion, now_ms)
    return see(_address(routine_id, occasion))


@router.post("/prepare/as-before")
def post_as_before(
    session: WriteSession, now_ms: NowMs, routine_id: str, typed: TypedForm
) -> Response:
    occasion = _occasion(typed.text("at"))
    pack_as_before(session, routine_id, occasion, now_ms)
    return see(_address(routine_id, occasion))


@router.post("/prepare/reserve")
def post_reserve(edit: Edit) -> Response:
    def change(routine: Routine) -> Routine:
        return prepared(routine, with_reserve(edit.typed, routine.preparation))

    return _saved(edit, change, "changed the reserve", RESERVE)


@router.post("/prepare/left-out")
def post_left_out(edit: Edit) -> Response:
    """Do without a thing that the routine asks for, or take it up again."""
    key, out = edit.typed.text("key"), edit.typed.ticked("out")

    def change(routine: Routine) -> Routine:
        asked_for = {each.key for each in kit_of_stored(edit.session, routine)}
        if out and key not in asked_for:
            raise InvalidInput.of("key", "That thing is no longer asked for.")
        kept = [each for each in routine.preparation.left_out if each != key]
        left_out = (*kept, key) if out else tuple(kept)
        return prepared(routine, replace(routine.preparation, left_out=left_out))

    label = f"{'left out' if out else 'took up'} “{key.partition(':')[2]}”"
    return _saved(edit, change, label)


@router.post("/prepare/things/{thing_id}")
def post_thing(edit: Edit, thing_id: str) -> Response:
    def change(routine: Routine) -> Routine:
        things = routine.preparation.things
        thing = thing_from(edit.typed, id_or_new(things, thing_id), KINDS)
        return prepared(routine, replace(routine.preparation, things=put(things, thing)))

    return _saved(edit, change, edit.label_of(thing_id), f"thing-{thing_id}")


@router.post("/prepare/things/{thing_id}/delete")
def post_thing_delete(edit: Edit, thing_id: str) -> Response:
    name = part_of(edit.routine.preparation.things, thing_id).name

    def change(routine: Routine) -> Routine:
        left = without(routine.preparation.things, thing_id)
        return prepared(routine, replace(routine.preparation, things=left))

    return _saved(edit, change, f"deleted “{name}”")


def prepared(routine: Routine, preparation: Preparation) -> Routine:
    """The routine with what is prepared changed."""
    return replace(routine, preparation=preparation)


def kit_of_stored(session: Session, routine: Routine) -> tuple[KitThing, ...]:
    """The kit under the rule sheet that the routine is measured against."""
    return kit_of(routine, load_rule_sheet(session, routine.rule_sheet_id))


def kit_context(
    session: Session,
    stored: StoredRoutine,
    form: Form,
    edit: str = "",
    at: str = "event",
    looked_at: str = "",
) -> KitPage:
    """What the page of the kit shows; `edit` names the open form, `looked_at` a thing."""
    context = routine_context(session, stored, PLACE)
    routine, occasion = stored.routine, _occasion(at)
    kit = kit_of(routine, context["rules"])
    ticks = ticks_of(session, routine.id, occasion)
    packing = packing_of(kit, ticks)
    return KitPage(
        **context,
        occasion=occasion,
        occasions=OCCASIONS,
        goal=FOR[occasion],
        headline=headline_of(packing, occasion),
        warnings=warnings_of(packing),
        groups=groups_of(routine, kit, ticks, looked_at),
        gone=gone_of(packing),
        packed_before=was_packed_before(session, routine.id, occasion),
        any_packed=any(each.packed for each in ticks.values()),
        panel=None if edit else panel_of(routine, kit, looked_at),
        edit=edit,
        form=form,
        kinds=KINDS,
    )


def _occasion(at: str) -> Where:
    return "home" if at == "home" else "event"


def _saved(
    edit: Editor, change: Callable[[Routine], Routine], label: str, form: str = ""
) -> Response:
    """Save, and lead back to the occasion at which the form was opened."""
    at = _occasion(edit.typed.text("at"))
    answer = edit.save_form(change, label, PLACE, partial(kit_context, at=at), kit_values, form)
    if answer.status_code == 303:
        answer.headers["location"] = _address(edit.routine.id, at)
    return answer


def _address(routine_id: str, occasion: str) -> str:
    return f"/routines/{routine_id}/prepare?{urlencode({'at': occasion})}"


def _is_there(routine: Routine, edit: str) -> bool:
    known = {f"thing-{each.id}" for each in routine.preparation.things}
    return edit in known | {RESERVE, "thing-new"}
