"""Two drinks, or two versions of one, side by side."""

from dataclasses import dataclass

from fastapi import APIRouter, Request, Response

from server.domain.glass.figure_text import told_digits, told_number
from server.domain.glass.readout import FigureComparison, comparisons
from server.domain.routine.drink import Drink
from server.store.routines import load_routine
from server.web.drinks.view import Glass, shown_numbers, told_glass
from server.web.frame.dependencies import ReadSession
from server.web.frame.editing import routine_context
from server.web.frame.filters import NOT_KNOWN, decimal
from server.web.frame.render import page
from server.web.frame.shown import RoutinePage

router = APIRouter(prefix="/routines/{routine_id}/drinks")


@dataclass(frozen=True)
class FigurePair:
    """A figure of one serve in both drinks, and how the right differs from the left."""

    label: str
    left: str
    right: str
    change: str


@dataclass(frozen=True)
class IngredientPair:
    """An ingredient in both drinks, by name; "" where one has it not."""

    name: str
    left: str
    right: str


@dataclass(frozen=True, kw_only=True)
class VersionsPage(RoutinePage, folder="versions"):
    """Two drinks side by side; None where there are not so many."""

    left: Drink | None
    right: Drink | None
    figures: tuple[FigurePair, ...]
    parts: tuple[IngredientPair, ...]
    glasses: tuple[Glass | None, ...]
    untold: tuple[str, ...]


@router.get("/compare")
def versions_page(
    request: Request, session: ReadSession, routine_id: str, left: str = "", right: str = ""
) -> Response:
    stored = load_routine(session, routine_id)
    routine = stored.routine
    drinks = {drink.id: drink for drink in routine.drinks}
    one = drinks.get(left) or next(iter(drinks.values()), None)
    other = drinks.get(right) or next((each for each in drinks.values() if each != one), None)
    found = [told_glass(each, routine) if each else (None, "") for each in (one, other)]
    glasses = [glass for glass, _ in found]
    shown = VersionsPage(
        **routine_context(session, stored, "drinks"),
        left=one,
        right=other,
        figures=figure_pairs(*glasses),
        parts=ingredient_pairs(one, other) if one and other else (),
        glasses=tuple(glasses),
        untold=tuple(why for _, why in found if why),
    )
    return page(request, shown)


def figure_pairs(left: Glass | None, right: Glass | None) -> tuple[FigurePair, ...]:
    """One serve of each drink, number by number; empty where one has nothing in it."""
    if left is None or right is None:
        return ()
    compared = comparisons(left.balance.serve, right.balance.serve)
    shown = shown_numbers()
    told = (each for each in compared if each.first is not None or each.second is not None)
    return tuple(_pair(each, left, right) for each in told if each.number in shown)


def ingredient_pairs(left: Drink, right: Drink) -> tuple[IngredientPair, ...]:
    """The ingredients of both drinks, those of the left first."""
    amounts = [
        {part.name: part.amount.words for part in each.ingredients} for each in (left, right)
    ]
    names = dict.fromkeys([*amounts[0], *amounts[1]])
    return tuple(
        IngredientPair(name, amounts[0].get(name, ""), amounts[1].get(name, "")) for name in names
    )


def _pair(compared: FigureComparison, left: Glass, right: Glass) -> FigurePair:
    number, first, second, change = compared.number, compared.first, compared.second, "–"
    left_words, right_words = (each.serve_words(number) for each in (left, right))
    if first is not None and second is not None and NOT_KNOWN not in (left_words, right_words):
        digits = min(told_digits(each, number.decimals) for each in (first, second))
        # Of the numbers as they are shown, so that the row adds up.
        shown = [round(told_number(each, digits), digits) for each in (first, second)]
        apart = round(shown[1] - shown[0], digits)
        sign = "+" if apart > 0 else ""
        change = f"{sign}{decimal(apart, digits)}{_sureness(compared) if apart else ''}"
    return FigurePair(number.words, left_words, right_words, change)


def _sureness(compared: FigureComparison) -> str:
    """What stands behind a difference: that it may be none, or that there may be more of it."""
    if not compared.is_clear:
        return ", within doubt"
    ends = [each for each in (compared.first, compared.second) if each is not None]
    return "" if all(each.is_whole for each in ends) else ", at least"
