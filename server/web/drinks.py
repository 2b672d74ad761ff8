"""The drinks of a routine: recipes and the descriptors to be stated, edited in place."""

from functools import partial

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from server.domain.amounts import Amount, parse_amount
from server.domain.edits import (
    move_drink,
    move_ingredient,
    part_of,
    put_drink,
    put_ingredient,
    remove_drink,
    remove_ingredient,
)
from server.domain.routine import Drink, Ingredient, Routine
from server.store.routines import StoredRoutine, load_routine
from server.web.dependencies import ReadSession
from server.web.editing import (
    NEW,
    Context,
    ContextOf,
    Edit,
    id_or_new,
    label_of_save,
    routine_context,
)
from server.web.forms import Form, Typed
from server.web.render import page

router = APIRouter(prefix="/routines/{routine_id}")


@router.get("/drinks")
def drinks_page(
    request: Request, session: ReadSession, routine_id: str, edit: str = ""
) -> Response:
    stored = load_routine(session, routine_id)
    form = Form(_values(stored, edit, session))
    return page(request, "drinks", drinks_context(session, stored, form, edit))


@router.post("/drinks/{drink_id}")
def post_drink(edit: Edit, drink_id: str) -> Response:
    def change(routine: Routine) -> Routine:
        known_id = id_or_new(routine.drinks, drink_id)
        kept = () if drink_id == NEW else part_of(routine.drinks, known_id).ingredients
        return put_drink(routine, drink_from(edit.typed, known_id, kept))

    label = label_of_save(drink_id, edit.typed.text("name"))
    return edit.save(change, label, "drinks", _showing(f"drink-{drink_id}"))


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
        drink = part_of(routine.drinks, drink_id)
        known_id = id_or_new(drink.ingredients, ingredient_id)
        return put_ingredient(routine, drink_id, ingredient_from(edit.typed, known_id))

    open_form = f"ingredient-{drink_id if ingredient_id == NEW else ingredient_id}"
    then = open_form if ingredient_id == NEW else ""
    label = label_of_save(ingredient_id, edit.typed.text("name"))
    return edit.save(change, label, "drinks", _showing(open_form), then)


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


def drink_from(typed: Typed, drink_id: str, ingredients: tuple[Ingredient, ...]) -> Drink:
    """The drink that a form describes, with its ingredients; raises InvalidInput."""
    serves = typed.whole_number("serves", 1, 100)
    return typed.built(
        lambda: Drink(
            id=drink_id,
            name=typed.text("name"),
            serves=serves,
            ingredients=ingredients,
            descriptors=typed.words("descriptors"),
        )
    )


def ingredient_from(typed: Typed, ingredient_id: str) -> Ingredient:
    """The ingredient that a form describes; raises InvalidInput with every fault."""
    amount = typed.take(lambda: parse_amount(typed.text("amount")), Amount(0, "ml"))
    return typed.built(
        lambda: Ingredient(
            id=ingredient_id,
            name=typed.text("name"),
            amount=amount,
            descriptors=typed.words("descriptors"),
        )
    )


def drinks_context(session: Session, stored: StoredRoutine, form: Form, edit: str) -> Context:
    """What the drinks page shows; `edit` names the part whose form is open."""
    return {
        **routine_context(session, stored, "drinks"),
        "edit": edit,
        "form": form,
        "empty_form": Form(),
    }


def _showing(edit: str) -> ContextOf:
    return partial(drinks_context, edit=edit)


def _ingredient(routine: Routine, drink_id: str, ingredient_id: str) -> Ingredient:
    return part_of(part_of(routine.drinks, drink_id).ingredients, ingredient_id)


def _values(stored: StoredRoutine, edit: str, session: Session) -> dict[str, str]:
    """The texts with which the open form starts."""
    kind, _, part_id = edit.partition("-")
    drinks = stored.routine.drinks
    if kind == "ingredient":
        known = {part.id: part for drink in drinks for part in drink.ingredients}
        return _ingredient_values(known[part_id]) if part_id in known else {}
    if kind == "drink" and part_id != NEW:
        return _drink_values(part_of(drinks, part_id))
    serves = routine_context(session, stored, "drinks")["rules"].serves_per_drink
    return {"serves": str(serves)}


def _drink_values(drink: Drink) -> dict[str, str]:
    return {
        "name": drink.name,
        "serves": str(drink.serves),
        "descriptors": ", ".join(drink.descriptors),
    }


def _ingredient_values(ingredient: Ingredient) -> dict[str, str]:
    return {
        "name": ingredient.name,
        "amount": str(ingredient.amount),
        "descriptors": ", ".join(ingredient.descriptors),
    }
