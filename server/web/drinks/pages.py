"""The drinks of a routine: recipe cards that are edited in place, with their glass beside them."""

from collections.abc import Callable
from functools import partial

from fastapi import APIRouter, Request, Response
from fastapi.responses import JSONResponse
from sqlmodel import Session

from server.domain.glass.allergens import ALLERGEN_WORDS
from server.domain.glass.cautions import judge_cautions
from server.domain.glass.library import groups, library
from server.domain.glass.substance import KINDS
from server.domain.routine.drink import Ingredient
from server.domain.routine.edits import (
    copy_drink,
    move_drink,
    move_ingredient,
    move_step,
    part_of,
    put_drink,
    put_ingredient,
    put_step,
    remove_drink,
    remove_ingredient,
    remove_step,
)
from server.domain.routine.plan import layout
from server.domain.routine.routine import Routine
from server.domain.routine.rules import RuleSheet
from server.store.ids import new_id
from server.store.routines import StoredRoutine, load_routine
from server.store.rule_sheets import load_rule_sheet
from server.web.drinks.forms import (
    MATERIALS,
    STEPS,
    drink_from,
    drink_values,
    ingredient_from,
    ingredient_values,
    library_values,
    step_from,
    step_values,
)
from server.web.drinks.substance_form import MAKINGS
from server.web.drinks.temperature import curve_of
from server.web.drinks.view import told_glass, told_making
from server.web.frame.dependencies import ReadSession
from server.web.frame.editing import (
    NEW,
    Context,
    ContextOf,
    Edit,
    id_or_new,
    is_new,
    label_of_save,
    routine_context,
    start_of_form,
)
from server.web.frame.forms import Form
from server.web.frame.guard import Values
from server.web.frame.render import page
from server.web.frame.tape import span_of

router = APIRouter(prefix="/routines/{routine_id}")


@router.get("/drinks")
def drinks_page(
    request: Request, session: ReadSession, routine_id: str, edit: str = ""
) -> Response:
    stored = load_routine(session, routine_id)
    rules = load_rule_sheet(session, stored.routine.rule_sheet_id)
    form = start_of_form(edit, _values(stored.routine, edit, rules))
    return page(request, "drinks", drinks_context(session, stored, form, edit))


@router.get("/library/{key}")
def library_entry(key: str) -> Response:
    """What an entry of the library puts into the fields of an ingredient."""
    return JSONResponse(library_values(key), headers={"Cache-Control": "private, max-age=3600"})


@router.post("/drinks/{drink_id}")
def post_drink(edit: Edit, drink_id: str) -> Response:
    def change(routine: Routine) -> Routine:
        known_id = id_or_new(routine.drinks, drink_id)
        before = None if drink_id == NEW else part_of(routine.drinks, known_id)
        return put_drink(routine, drink_from(edit.typed, known_id, before))

    label = label_of_save(drink_id, edit.typed.text("name"))
    name = f"drink-{drink_id}"
    return edit.save(change, label, "drinks", _showing(name), against=_shown_of(name))


@router.post("/drinks/{drink_id}/copy")
def post_drink_copy(edit: Edit, drink_id: str) -> Response:
    name = part_of(edit.routine.drinks, drink_id).name
    return edit.save(
        lambda routine: copy_drink(routine, drink_id, f"{name[:100]} (version)", new_id),
        f"copied “{name}”", "drinks", _showing(""),
    )  # fmt: skip


@router.post("/drinks/{drink_id}/move")
def post_drink_move(edit: Edit, drink_id: str) -> Response:
    name, to = part_of(edit.routine.drinks, drink_id).name, edit.typed.position()
    return edit.save(
        lambda routine: move_drink(routine, drink_id, to),
        f"moved “{name}”", "drinks", _showing(""),
    )  # fmt: skip


@router.post("/drinks/{drink_id}/delete")
def post_drink_delete(edit: Edit, drink_id: str) -> Response:
    name = part_of(edit.routine.drinks, drink_id).name
    return edit.save(
        lambda routine: remove_drink(routine, drink_id),
        f"deleted “{name}”", "drinks", _showing(""),
    )  # fmt: skip


@router.post("/drinks/{drink_id}/ingredients/{ingredient_id}")
def post_ingredient(edit: Edit, drink_id: str, ingredient_id: str) -> Response:
    def change(routine: Routine) -> Routine:
        parts = part_of(routine.drinks, drink_id).ingredients
        known_id = id_or_new(parts, ingredient_id)
        before = None if ingredient_id == NEW else part_of(parts, known_id)
        return put_ingredient(routine, drink_id, ingredient_from(edit.typed, known_id, before))

    open_form = f"ingredient-{drink_id if ingredient_id == NEW else ingredient_id}"
    then = open_form if ingredient_id == NEW else ""
    label = label_of_save(ingredient_id, edit.typed.text("name"))
    shown = None if ingredient_id == NEW else _shown_of(open_form)
    return edit.save(change, label, "drinks", _showing(open_form), then, against=shown)


@router.post("/drinks/{drink_id}/ingredients/{ingredient_id}/move")
def post_ingredient_move(edit: Edit, drink_id: str, ingredient_id: str) -> Response:
    name, to = _ingredient(edit.routine, drink_id, ingredient_id).name, edit.typed.position()
    return edit.save(
        lambda routine: move_ingredient(routine, drink_id, ingredient_id, to),
        f"moved “{name}”", "drinks", _showing(""),
    )  # fmt: skip


@router.post("/drinks/{drink_id}/ingredients/{ingredient_id}/delete")
def post_ingredient_delete(edit: Edit, drink_id: str, ingredient_id: str) -> Response:
    name = _ingredient(edit.routine, drink_id, ingredient_id).name
    return edit.save(
        lambda routine: remove_ingredient(routine, drink_id, ingredient_id),
        f"deleted “{name}”", "drinks", _showing(""),
    )  # fmt: skip


@router.post("/drinks/{drink_id}/steps/{step_id}")
def post_step(edit: Edit, drink_id: str, step_id: str) -> Response:
    def change(routine: Routine) -> Routine:
        steps = part_of(routine.drinks, drink_id).steps
        known_id = id_or_new(steps, step_id)
        before = None if step_id == NEW else part_of(steps, known_id)
        return put_step(routine, drink_id, step_from(edit.typed, known_id, before))

    open_form = f"step-{f'{NEW}-{drink_id}' if step_id == NEW else step_id}"
    label = f"{'added' if step_id == NEW else 'changed'} a step"
    return edit.save(change, label, "drinks", _showing(open_form), against=_shown_of(open_form))


@router.post("/drinks/{drink_id}/steps/{step_id}/move")
def post_step_move(edit: Edit, drink_id: str, step_id: str) -> Response:
    to = edit.typed.position()
    return edit.save(
        lambda routine: move_step(routine, drink_id, step_id, to),
        "moved a step", "drinks", _showing(""),
    )  # fmt: skip


@router.post("/drinks/{drink_id}/steps/{step_id}/delete")
def post_step_delete(edit: Edit, drink_id: str, step_id: str) -> Response:
    return edit.save(
        lambda routine: remove_step(routine, drink_id, step_id),
        "deleted a step", "drinks", _showing(""),
    )  # fmt: skip


def drinks_context(session: Session, stored: StoredRoutine, form: Form, edit: str) -> Context:
    """What the drinks page shows; `edit` names the part whose form is open."""
    context = routine_context(session, stored, "drinks")
    routine, placed = stored.routine, layout(stored.routine)
    found = {drink.id: told_glass(drink, routine) for drink in routine.drinks}
    glasses = {drink_id: glass for drink_id, (glass, _) in found.items()}
    span_s = span_of(context["rules"], placed.total_s)
    return {
        **context,
        "edit": edit,
        "form": form,
        "empty_form": Form(),
        "glasses": glasses,
        "untold": {drink_id: why for drink_id, (_, why) in found.items()},
        "curves": {
            drink_id: curve_of(glass, placed, span_s)
            for drink_id, glass in glasses.items()
            if glass is not None
        },
        "making_notes": {
            part.id: told_making(part) for drink in routine.drinks for part in drink.ingredients
        },
        "judge_cautions": judge_cautions([each.balance for each in glasses.values() if each]),
        "library": library(),
        "library_groups": groups(),
        "allergens": ALLERGEN_WORDS,
        "kinds": KINDS,
        "makings": MAKINGS,
        "materials": MATERIALS,
        "step_kinds": STEPS,
        "segment_names": {part.id: part.name for part in routine.segments},
    }


def _showing(edit: str) -> ContextOf:
    return partial(drinks_context, edit=edit)


def _ingredient(routine: Routine, drink_id: str, ingredient_id: str) -> Ingredient:
    return part_of(part_of(routine.drinks, drink_id).ingredients, ingredient_id)


def _shown_of(edit: str) -> Callable[[Routine], Values] | None:
    """What the form of that part starts with; None for a part still to be made."""
    return None if is_new(edit) else partial(_values, edit=edit)


def _values(routine: Routine, edit: str, rules: RuleSheet | None = None) -> dict[str, str]:
    """The texts with which the open form starts; a new drink has the serves that `rules` ask."""
    kind, _, part_id = edit.partition("-")
    drinks = routine.drinks
    if kind == "ingredient":
        parts = {part.id: part for drink in drinks for part in drink.ingredients}
        return ingredient_values(parts[part_id]) if part_id in parts else {}
    if kind == "step":
        steps = {step.id: step for drink in drinks for step in drink.steps}
        return step_values(steps[part_id]) if part_id in steps else {}
    if kind != "drink":
        return {}
    if part_id != NEW:
        return drink_values(part_of(drinks, part_id))
    return {"serves": str(rules.serves_per_drink)} if rules else {}
