"""The declaration sheet: a page of paper for each drink, for the judges."""

from dataclasses import dataclass

from fastapi import APIRouter, Request, Response

from server.domain.base.amounts import Amount
from server.domain.base.standings import follows_alone
from server.domain.glass.caution import Caution
from server.domain.glass.cautions import for_who_drinks
from server.domain.glass.making import AnyStep
from server.domain.glass.steps import Blend, Bring, Ice, Rest
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.named_hazards import hazards_of_drink
from server.domain.routine.routine import Routine
from server.domain.routine.rules import RuleSheet
from server.domain.whole.readiness import for_others_words, written_for_others
from server.store.routines import load_routine
from server.store.watchers import open_runs
from server.web.drinks.checked import checked
from server.web.drinks.step_form import STEPS
from server.web.drinks.view import Glass, told_glass, told_parts
from server.web.frame.dependencies import NowMs, ReadSession
from server.web.frame.door import HeldAsker
from server.web.frame.editing import routine_context
from server.web.frame.render import page
from server.web.frame.shown import RoutinePage

router = APIRouter(prefix="/routines/{routine_id}")


@dataclass(frozen=True)
class DeclaredPart:
    """An ingredient: its amount for all serves, and for one; of what it is made at home."""

    name: str
    made_of: str
    in_all: Amount
    each: Amount


@dataclass(frozen=True)
class DeclarationSheet:
    """What is declared of one drink."""

    drink: Drink
    parts: tuple[DeclaredPart, ...]
    steps: tuple[str, ...]
    glass: Glass | None
    untold: str
    """Why nothing can be said of its glass; "" where it can."""
    hazards: tuple[Caution, ...]
    """What whoever drinks it is told, beside allergens and alcohol."""


@dataclass(frozen=True, kw_only=True)
class DeclarationPage(RoutinePage, folder="declaration"):
    """The sheets; `open_points` are those of the claims, which are not yet what is said.

    `for_others` says which are not for as many as there are judges; "" where all are.
    """

    sheets: list[DeclarationSheet]
    open_points: int
    for_others: str
    untold: tuple[str, ...]
    open_run: str
    """The run to follow just now, for who follows runs and presents none."""


@router.get("/declaration")
def declaration_page(
    request: Request, session: ReadSession, asker: HeldAsker, now_ms: NowMs, routine_id: str
) -> Response:
    stored = load_routine(session, routine_id)
    context = routine_context(session, stored, "declaration")
    rules: RuleSheet = context["rules"]
    found = checked(stored.routine, rules)
    others = written_for_others(stored.routine, rules)
    sheets = [sheet_of(drink, stored.routine) for drink in stored.routine.drinks]
    follows = follows_alone(asker.grants.asks)
    shown = DeclarationPage(
        **context,
        sheets=sheets,
        open_points=found.open_points,
        for_others=for_others_words(others, rules.serves_per_drink),
        untold=found.untold,
        open_run=open_runs(session, [routine_id], now_ms).get(routine_id, "") if follows else "",
    )
    return page(request, shown)


def sheet_of(drink: Drink, routine: Routine) -> DeclarationSheet:
    """The sheet of one drink."""
    glass, untold = told_glass(drink, routine)
    return DeclarationSheet(
        drink=drink,
        parts=tuple(_declared(part, drink.serves) for part in drink.ingredients),
        steps=tuple(_step_words(step) for step in drink.steps),
        glass=glass,
        untold=untold,
        hazards=for_who_drinks(glass.cautions if glass else hazards_of_drink(drink)),
    )


def _declared(part: Ingredient, serves: int) -> DeclaredPart:
    return DeclaredPart(part.name, told_parts(part), part.amount, part.amount.shared(serves))


def _step_words(step: AnyStep) -> str:
    words = STEPS[step.kind]
    if isinstance(step, Blend) and step.ice_g is not None:
        return f"Blend with {step.ice_g.value:g} g of ice that stays in it"
    if isinstance(step, Ice | Bring):
        degrees = f"{step.to_temp_c:g} °C".replace("-", "−")
        return f"{words.removesuffix(' to a temperature')} to {degrees}"
    if isinstance(step, Rest):
        return f"{words} for {step.minutes.value:g} min"
    return words
