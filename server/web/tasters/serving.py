"""What is put before whom: the plan of a test, and orders for several drinks, on paper."""

from collections.abc import Sequence
from dataclasses import dataclass

from fastapi import APIRouter, Request, Response

from server.domain.base.number_words import count
from server.domain.base.numbers import read_whole
from server.domain.routine.drink import Drink, short_names
from server.domain.routine.routine import Routine
from server.domain.tasters.alcohol_each import alcohol_each, no_less
from server.domain.tasters.serving import MOST_PLACES, MOST_SAMPLES, orders, williams
from server.domain.tasters.sitting import Sitting
from server.store.routines import load_routine
from server.web.frame.dependencies import NowMs, ReadSession
from server.web.frame.editing import routine_context
from server.web.frame.filters import decimal, short_day
from server.web.frame.render import page
from server.web.frame.shown import RoutinePage
from server.web.tasters.one import PLACE, sitting_in

router = APIRouter(prefix="/routines/{routine_id}/tastings")

USUAL_ML = 20
FIRST_SEED = 1


@dataclass(frozen=True)
class PlaceLine:
    """The glasses of one taster, from left to right: code and what is in it."""

    place: int
    glasses: tuple[tuple[str, str], ...]


@dataclass(frozen=True, kw_only=True)
class ServingPage(RoutinePage, folder="serving"):
    """The serving plan of a test; whoever tastes must not see it."""

    sitting: Sitting
    beneath: str
    lines: tuple[PlaceLine, ...]
    versions: tuple[tuple[str, str], ...]
    pours: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class OrderPage(RoutinePage, folder="order"):
    """Orders for several drinks, each equally often in every place and after every other."""

    headline: str
    beneath: str
    chosen: tuple[str, ...]
    tasters: int
    glass_ml: int
    seed: int
    lines: tuple[PlaceLine, ...]
    told: tuple[str, ...]


@router.get("/order")
def order_page(
    request: Request,
    session: ReadSession,
    routine_id: str,
    tasters: str = "",
    ml: str = "",
    seed: str = "",
) -> Response:
    stored = load_routine(session, routine_id)
    asked = request.query_params.getlist("drink")
    drinks = [each for each in stored.routine.drinks if each.id in asked]
    drinks = (drinks or list(stored.routine.drinks))[:MOST_SAMPLES]
    rows = len(williams(len(drinks)))
    people = _within(tasters, rows, MOST_PLACES)
    glass_ml, luck = _within(ml, USUAL_ML, 300), _within(seed, FIRST_SEED, 10**9)
    lines = _order_lines(drinks, people, luck) if len(drinks) > 1 else ()
    shown = OrderPage(
        **routine_context(session, stored, PLACE),
        headline=_order_headline(len(drinks), people),
        beneath="Each drink is equally often in every place, and after every other.",
        chosen=tuple(each.id for each in drinks),
        tasters=people,
        glass_ml=glass_ml,
        seed=luck,
        lines=lines,
        told=_order_told(drinks, people, rows, glass_ml, stored.routine) if lines else (),
    )
    return page(request, shown)


@router.get("/{sitting_id}/serving")
def serving_page(
    request: Request, session: ReadSession, now_ms: NowMs, routine_id: str, sitting_id: str
) -> Response:
    stored = load_routine(session, routine_id)
    sitting = sitting_in(session, routine_id, sitting_id, now_ms).sitting
    names = [drink.name for drink in sitting.drinks]
    shown = ServingPage(
        **routine_context(session, stored, PLACE),
        sitting=sitting,
        beneath=f"{sitting.name}, {short_day(sitting.made_ms)}. Keep it out of the tasters’ sight.",
        lines=tuple(
            PlaceLine(place, tuple(zip(each.codes, each.versions, strict=True)))
            for place, each in enumerate(sitting.sets, 1)
        ),
        versions=tuple(zip("AB", names, strict=False)),
        pours=tuple(_pour_lines(sitting)),
    )
    return page(request, shown)


def _pour_lines(sitting: Sitting) -> list[str]:
    """How much of each version is needed."""
    glass_ml = sitting.pour.glass_ml
    found = []
    for version in "AB"[: len(sitting.drinks)]:
        glasses = sum(each.versions.count(version) for each in sitting.sets)
        total = decimal(glasses * glass_ml)
        found.append(f"{version}: {glasses} glasses of {decimal(glass_ml)} ml, {total} ml in all")
    return found


def _order_lines(drinks: Sequence[Drink], people: int, seed: int) -> tuple[PlaceLine, ...]:
    short = short_names(drinks)
    names = [short[each.id] for each in drinks]
    return tuple(
        PlaceLine(
            place,
            tuple((code, names[at]) for code, at in zip(order.codes, order.samples, strict=True)),
        )
        for place, order in enumerate(orders(len(drinks), people, seed), 1)
    )


def _order_headline(drinks: int, people: int) -> str:
    if drinks < 2:
        return "One drink needs no order"
    return f"{count(drinks, 'drink')} for {count(people, 'taster')}"


def _order_told(
    drinks: Sequence[Drink], people: int, rows: int, glass_ml: int, routine: Routine
) -> tuple[str, ...]:
    told = []
    if people % rows:
        more = -(-people // rows) * rows
        told.append(f"Quite even it is with {more} tasters, or any other multiple of {rows}.")
    glasses = [(each, 1) for each in drinks]
    alcohol = alcohol_each(glasses, glass_ml, routine.standard_drink)
    least = "at least " if alcohol.unknown else "up to "
    told.append(
        f"Each taster has {least}{decimal(no_less(alcohol.drinks), 1)} standard drinks "
        "if all is swallowed."
    )
    return tuple(told)


def _within(text: str, usual: int, most: int) -> int:
    """A number of the address; the usual one where it is none, or out of reach."""
    number = read_whole(text)
    return number if number is not None and 1 <= number <= most else usual
