"""The drinks of a routine: two side by side with their glasses, edited in a panel beside them."""

from collections.abc import Callable
from functools import partial

from fastapi import APIRouter, Request, Response
from fastapi.responses import JSONResponse

from server.domain.base.errors import NotFound
from server.domain.routine.drink import Drink, Ingredient
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
from server.domain.routine.routine import Routine
from server.domain.routine.rules import RuleSheet
from server.domain.whole.named_after import with_segments_named_after
from server.store.ids import new_id
from server.store.routines import load_routine
from server.store.rule_sheets import load_rule_sheet
from server.web.drinks.drinks_page import drinks_page_of, look_of, showing, staying
from server.web.drinks.forms import (
    drink_from,
    drink_values,
    ingredient_from,
    ingredient_values,
    library_values,
)
from server.web.drinks.in_script import contradicted
from server.web.drinks.recipe_lines import lines_form
from server.web.drinks.serve_amounts import FIELD, Serving, remember, shown_amount, typed_in_all
from server.web.drinks.step_form import step_from, step_values
from server.web.frame.dependencies import ReadSession
from server.web.frame.editing import NEW, Edit, Editor, id_or_new, is_new, start_of_form
from server.web.frame.guard import Values
from server.web.frame.render import page

router = APIRouter(prefix="/routines/{routine_id}")


@router.get("/drinks")
def drinks_page(
    request: Request, session: ReadSession, routine_id: str,
    edit: str = "", open: str = "", show: str = "", text: str = "",
) -> Response:  # fmt: skip
    stored = load_routine(session, routine_id)
    look = look_of(request, edit, open, show)
    if open.startswith("lines-"):
        drink = part_of(stored.routine.drinks, open.removeprefix("lines-"))
        form = lines_form(text, drink, look.serving)
    else:
        rules = load_rule_sheet(session, stored.routine.rule_sheet_id)
        form = start_of_form(edit, _values(stored.routine, edit, look.serving, rules))
    shown = drinks_page_of(session, stored, form, look)
    return remember(request, page(request, shown))


@router.get("/library/{key}")
def library_entry(key: str) -> Response:
    """What an entry of the library puts into the fields of an ingredient."""
    return JSONResponse(library_values(key), headers={"Cache-Control": "private, max-age=3600"})


@router.post("/drinks/{drink_id}")
def post_drink(edit: Edit, drink_id: str) -> Response:
    def change(routine: Routine) -> Routine:
        known_id = id_or_new(routine.drinks, drink_id)
        before = None if drink_id == NEW else part_of(routine.drinks, known_id)
        changed = put_drink(routine, drink_from(edit.typed, known_id, before))
        return changed if before else with_segments_named_after(changed, known_id)

    label = edit.label_of(drink_id)
    name = f"drink-{drink_id}"
    return _saved(edit, change, label, name, against=_shown_of(edit, name))


@router.post("/drinks/{drink_id}/copy")
def post_drink_copy(edit: Edit, drink_id: str) -> Response:
    name = part_of(edit.routine.drinks, drink_id).name
    return _saved(
        edit,
        lambda routine: copy_drink(routine, drink_id, f"{name[:100]} (version)", new_id),
        f"copied “{name}”",
    )


@router.post("/drinks/{drink_id}/move")
def post_drink_move(edit: Edit, drink_id: str) -> Response:
    name, to = part_of(edit.routine.drinks, drink_id).name, edit.typed.position()
    return _saved(edit, lambda routine: move_drink(routine, drink_id, to), f"moved “{name}”")


@router.post("/drinks/{drink_id}/delete")
def post_drink_delete(edit: Edit, drink_id: str) -> Response:
    name = part_of(edit.routine.drinks, drink_id).name
    return _saved(edit, lambda routine: remove_drink(routine, drink_id), f"deleted “{name}”")


@router.post("/drinks/{drink_id}/ingredients/{ingredient_id}")
def post_ingredient(edit: Edit, drink_id: str, ingredient_id: str) -> Response:
    def change(routine: Routine) -> Routine:
        drink = part_of(routine.drinks, drink_id)
        known_id = id_or_new(drink.ingredients, ingredient_id)
        before = None if ingredient_id == NEW else part_of(drink.ingredients, known_id)
        typed = typed_in_all(edit.typed, before.amount if before else None, drink.serves)
        return put_ingredient(routine, drink_id, ingredient_from(typed, known_id, before))

    open_form = f"ingredient-{drink_id if ingredient_id == NEW else ingredient_id}"
    then = open_form if ingredient_id == NEW else ""
    label = edit.label_of(ingredient_id)
    shown = None if ingredient_id == NEW else _shown_of(edit, open_form)
    return _saved(edit, change, label, open_form, then, against=shown)


@router.post("/drinks/{drink_id}/ingredients/{ingredient_id}/move")
def post_ingredient_move(edit: Edit, drink_id: str, ingredient_id: str) -> Response:
    name, to = _ingredient(edit.routine, drink_id, ingredient_id).name, edit.typed.position()
    return _saved(
        edit,
        lambda routine: move_ingredient(routine, drink_id, ingredient_id, to),
        f"moved “{name}”",
    )


@router.post("/drinks/{drink_id}/ingredients/{ingredient_id}/delete")
def post_ingredient_delete(edit: Edit, drink_id: str, ingredient_id: str) -> Response:
    name = _ingredient(edit.routine, drink_id, ingredient_id).name
    return _saved(
        edit,
        lambda routine: remove_ingredient(routine, drink_id, ingredient_id),
        f"deleted “{name}”",
    )


@router.post("/drinks/{drink_id}/ingredients/{ingredient_id}/cure")
def post_ingredient_cure(edit: Edit, drink_id: str, ingredient_id: str) -> Response:
    """Settle an amount that the script contradicts: in the script, or in the recipe."""
    # Loaded with the first check: the start does without.
    from server.domain.claims.cures import cure_named

    routine = edit.routine
    rules = load_rule_sheet(edit.session, routine.rule_sheet_id)
    name = _ingredient(routine, drink_id, ingredient_id).name
    row = contradicted(routine, rules, ingredient_id)
    if row is None:
        raise NotFound("This contradiction is settled already. Load the page again.")
    cure_id = edit.typed.text("cure")
    label = cure_named(row, routine, cure_id).label(name)
    return _saved(edit, lambda routine: cure_named(row, routine, cure_id).routine, label)


@router.post("/drinks/{drink_id}/steps/{step_id}")
def post_step(edit: Edit, drink_id: str, step_id: str) -> Response:
    def change(routine: Routine) -> Routine:
        steps = part_of(routine.drinks, drink_id).steps
        known_id = id_or_new(steps, step_id)
        before = None if step_id == NEW else part_of(steps, known_id)
        return put_step(routine, drink_id, step_from(edit.typed, known_id, before))

    open_form = f"step-{f'{NEW}-{drink_id}' if step_id == NEW else step_id}"
    label = f"{'added' if step_id == NEW else 'changed'} a step"
    return _saved(edit, change, label, open_form, against=_shown_of(edit, open_form))


@router.post("/drinks/{drink_id}/steps/{step_id}/move")
def post_step_move(edit: Edit, drink_id: str, step_id: str) -> Response:
    to = edit.typed.position()
    return _saved(edit, lambda routine: move_step(routine, drink_id, step_id, to), "moved a step")


@router.post("/drinks/{drink_id}/steps/{step_id}/delete")
def post_step_delete(edit: Edit, drink_id: str, step_id: str) -> Response:
    return _saved(edit, lambda routine: remove_step(routine, drink_id, step_id), "deleted a step")


def _saved(
    edit: Editor, change: Callable[[Routine], Routine], label: str, open_form: str = "",
    then: str = "", against: Callable[[Routine], Values] | None = None,
) -> Response:  # fmt: skip
    """Save a change of the drinks and show them, those that were shown before."""
    answer = edit.save(change, label, "drinks", showing(edit, open_form), then, against=against)
    return staying(edit, answer)


def _ingredient(routine: Routine, drink_id: str, ingredient_id: str) -> Ingredient:
    return part_of(part_of(routine.drinks, drink_id).ingredients, ingredient_id)


def _shown_of(editor: Editor, edit: str) -> Callable[[Routine], Values] | None:
    """What the form of that part starts with; None for a part still to be made."""
    serving: Serving = "one" if editor.typed.text(FIELD) == "one" else "all"
    return None if is_new(edit) else partial(_values, edit=edit, serving=serving)


def _values(
    routine: Routine, edit: str, serving: Serving, rules: RuleSheet | None = None
) -> dict[str, str]:
    """The texts with which the open form starts; a new drink has the serves that `rules` ask."""
    kind, _, part_id = edit.partition("-")
    drinks = routine.drinks
    if kind == "ingredient":
        parts = {part.id: (drink, part) for drink in drinks for part in drink.ingredients}
        return _part_values(*parts[part_id], serving) if part_id in parts else {}
    if kind == "step":
        steps = {step.id: step for drink in drinks for step in drink.steps}
        return step_values(steps[part_id]) if part_id in steps else {}
    if kind != "drink":
        return {}
    if part_id != NEW:
        return {**drink_values(part_of(drinks, part_id)), "follow": "yes"}
    return {"serves": str(rules.serves_per_drink)} if rules else {}


def _part_values(drink: Drink, part: Ingredient, serving: Serving) -> dict[str, str]:
    amount = shown_amount(part.amount, drink.serves, serving)
    return {**ingredient_values(part), "amount": amount.words}
