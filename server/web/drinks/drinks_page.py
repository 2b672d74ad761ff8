"""What the drinks page shows: up to two drinks side by side, and what is open beside them."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial

from fastapi import Request, Response
from sqlmodel import Session

from server.domain.glass.allergens import ALLERGEN_WORDS, Allergen
from server.domain.glass.balance import Balance
from server.domain.glass.brew_balance import BrewKind
from server.domain.glass.caution import Caution
from server.domain.glass.cautions import judge_cautions
from server.domain.glass.library import LibraryEntry, groups, library
from server.domain.glass.substance import Kind
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.explained import Explained
from server.domain.routine.named_hazards import hazards_of_routine
from server.domain.routine.plan import layout
from server.domain.routine.routine import Routine
from server.store.routines import StoredRoutine
from server.web.drinks.forms import MATERIALS
from server.web.drinks.half import Half, half_of
from server.web.drinks.headline import DrinksHeadline, headline_of
from server.web.drinks.in_script import Said, said_of
from server.web.drinks.kinds import (
    KIND_WORDS,
    PROPERTIES,
    STEP_FIELDS,
    first_fields,
    first_step_fields,
)
from server.web.drinks.origin import ORIGIN, origin_in
from server.web.drinks.serve_amounts import FIELD, Serving, serving_of
from server.web.drinks.step_form import STEPS
from server.web.drinks.substance_form import BREW_WORDS, MAKINGS, Making
from server.web.drinks.temperature import Curve, curve_of
from server.web.drinks.view import BalanceRow, in_short, served_words, told_glass, told_making
from server.web.frame.editing import ContextOf, Editor, routine_context
from server.web.frame.forms import Form
from server.web.frame.render import see
from server.web.frame.shown import RoutinePage
from server.web.frame.tape import span_of

SIDE_BY_SIDE = 2


@dataclass(frozen=True)
class DrinksLook:
    """What of the page is looked at: whose form is open, what is opened beside, which drinks."""

    edit: str = ""
    open: str = ""
    show: str = ""
    serving: Serving = "all"


@dataclass(frozen=True)
class Opened:
    """What is open beside the drinks; `kind` names its template, `side` where it stands."""

    kind: str
    title: str
    side: str = "right"
    drink: Drink | None = None
    number: int = 0
    """The place of the drink, the part or the step, from 0."""
    part: Ingredient | None = None
    step_id: str = ""
    note: str = ""
    first: tuple[str, ...] = ()
    """The fields that are seen first."""
    rest: tuple[str, ...] = ()
    origin: Explained | None = None
    """What a figure was made of."""
    value: str = ""
    """That figure of one serve."""


@dataclass(frozen=True)
class FigureRow:
    """A figure of each drink that is shown, None where it has no meaning for it."""

    label: str
    cells: tuple[BalanceRow | None, ...]


@dataclass(frozen=True, kw_only=True)
class DrinksPage(RoutinePage, folder="drinks"):
    """The drinks page."""

    headline: DrinksHeadline
    halves: tuple[Half, ...]
    part: str
    show: str
    serving: Serving
    opened: Opened | None
    form: Form
    figures: tuple[FigureRow, ...]
    curves: Mapping[str, Curve | None]
    judge_cautions: tuple[Caution, ...]
    care: str
    library: tuple[LibraryEntry, ...]
    library_groups: Mapping[str, tuple[LibraryEntry, ...]]
    allergens: Mapping[Allergen, str]
    kind_words: Mapping[Kind, str]
    makings: Mapping[Making, str]
    brew_kinds: Mapping[BrewKind, str]
    materials: tuple[str, ...]
    step_kinds: Mapping[str, str]
    segment_names: Mapping[str, str]


def drinks_page_of(
    session: Session, stored: StoredRoutine, form: Form, look: DrinksLook
) -> DrinksPage:
    """The page as it is looked at; `form` is the open one."""
    context = routine_context(session, stored, "drinks")
    routine, placed = stored.routine, layout(stored.routine)
    said = said_of(routine, context["rules"])
    every = _halves(routine, said, look.serving)
    halves = _chosen(every, look)
    is_all = halves == every
    span_s = span_of(context["rules"], placed.total_s)
    hazards = hazards_of_routine(routine)
    return DrinksPage(
        **context,
        headline=headline_of(every, said, routine),
        halves=halves,
        part=_part(halves, every),
        show="" if is_all else ",".join(half.drink.id for half in halves),
        serving=look.serving,
        opened=_opened(routine, halves, look),
        form=form,
        figures=_figures(halves),
        curves={h.drink.id: curve_of(h.glass, placed, span_s) for h in halves if h.glass},
        judge_cautions=(*hazards, *judge_cautions(_balances(every))),
        care=_care(hazards, halves),
        library=library(),
        library_groups=groups(),
        allergens=ALLERGEN_WORDS,
        kind_words=KIND_WORDS,
        makings=MAKINGS,
        brew_kinds=BREW_WORDS,
        materials=MATERIALS,
        step_kinds=STEPS,
        segment_names={part.id: part.name for part in routine.segments},
    )


def look_of(request: Request, edit: str = "", opened: str = "", show: str = "") -> DrinksLook:
    """How an address looks at the page."""
    return DrinksLook(edit, opened, show, serving_of(request))


def showing(editor: Editor, edit: str = "", opened: str = "") -> ContextOf:
    """The page around a form that was refused: with the drinks that its page showed."""
    typed = editor.typed
    serving: Serving = "one" if typed.text(FIELD) == "one" else "all"
    if FIELD not in typed.values:
        serving = serving_of(editor.request)
    return partial(drinks_page_of, look=DrinksLook(edit, opened, typed.text("show"), serving))


def staying(editor: Editor, answer: Response) -> Response:
    """The answer to a form, which leads back to the drinks that its page showed."""
    show, place = editor.typed.text("show"), answer.headers.get("location", "")
    if answer.status_code != 303 or not show:
        return answer
    path, hash_sign, fragment = place.partition("#")
    return see(f"{path}{'&' if '?' in path else '?'}show={show}{hash_sign}{fragment}")


def _halves(routine: Routine, said: Said, serving: Serving) -> tuple[Half, ...]:
    names = routine.short_names
    return tuple(
        half_of(drink, number, names[drink.id], *told_glass(drink, routine), said, serving)
        for number, drink in enumerate(routine.drinks)
    )


def _chosen(every: Sequence[Half], look: DrinksLook) -> tuple[Half, ...]:
    """The drinks to show: those asked for, else the first two; always that whose part is open."""
    wanted = [half for half in every if half.drink.id in look.show.split(",")]
    shown = (wanted or list(every))[:SIDE_BY_SIDE]
    concerned = _concerned(every, look)
    if concerned is not None and concerned not in shown:
        shown = [*shown[: SIDE_BY_SIDE - 1], concerned] if len(shown) > 1 else [concerned]
    return tuple(sorted(shown, key=lambda half: half.number))


def _concerned(halves: Sequence[Half], look: DrinksLook) -> Half | None:
    """The drink that the open thing is of."""
    kind, _, part_id = (look.edit or look.open).partition("-")
    part_id = part_id.removeprefix("new-")
    if kind == ORIGIN:
        part_id = part_id.partition(".")[2]
    for half in halves:
        drink = half.drink
        parts = {each.id for each in drink.ingredients} if kind == "ingredient" else set()
        steps = {each.id for each in drink.steps} if kind == "step" else set()
        if part_id in {drink.id, *parts, *steps}:
            return half
    return None


def _part(halves: Sequence[Half], every: Sequence[Half]) -> str:
    """Which part of the place this is, for the row of parts."""
    if len(every) <= SIDE_BY_SIDE and len(halves) == len(every):
        return ""
    return ",".join(half.drink.id for half in halves)


_TITLES = {
    "figures": "All figures",
    "temperature": "Temperature over time",
    "variant": "Try a variant",
}


def _opened(routine: Routine, halves: Sequence[Half], look: DrinksLook) -> Opened | None:
    kind, _, part_id = (look.edit or look.open).partition("-")
    if kind in _TITLES and not look.edit:
        return Opened(kind, _TITLES[kind])
    if look.edit == "drink-new":
        return Opened("drink", "A new drink")
    half = _concerned(halves, look)
    if half is None:
        return None
    drink = half.drink
    side = "left" if len(halves) > 1 and half is halves[1] else "right"
    here = Opened(kind, drink.name, side, drink, half.number)
    if kind == "lines":
        return replace(here, title="Paste a recipe")
    if kind == ORIGIN:
        found = origin_in(half, part_id.partition(".")[0])
        if found is None or half.glass is None:
            return None
        value = served_words(found.number, found.value, drink, half.glass.standing)
        return replace(here, title=found.number.words, origin=found, value=value)
    if kind == "drink":
        return here
    if part_id == drink.id:
        return replace(here, kind="add", title=f"Add a part to {half.short}")
    if kind == "ingredient":
        return _part_opened(here, drink, part_id)
    if kind == "step":
        return _step_opened(here, drink, part_id)
    return None


def _part_opened(here: Opened, drink: Drink, part_id: str) -> Opened:
    number, part = next((n, p) for n, p in enumerate(drink.ingredients) if p.id == part_id)
    first = first_fields(
        part.substance.kind if part.substance else "other", part.amount.counts_pieces
    )
    rest = tuple(name for name in PROPERTIES if name not in first)
    return replace(
        here,
        title=part.name,
        number=number,
        part=part,
        note=told_making(part),
        first=first,
        rest=rest,
    )


def _step_opened(here: Opened, drink: Drink, part_id: str) -> Opened:
    found = next(((n, s) for n, s in enumerate(drink.steps) if s.id == part_id), None)
    first = first_step_fields(found[1].kind if found else "")
    return replace(
        here,
        title=STEPS[found[1].kind] if found else "Add a step",
        number=found[0] if found else len(drink.steps),
        step_id=found[1].id if found else "new",
        first=first,
        rest=tuple(name for name in STEP_FIELDS if name not in first),
    )


def _figures(halves: Sequence[Half]) -> tuple[FigureRow, ...]:
    glasses = [half.glass for half in halves]
    tables = [{row.label: row for row in glass.rows} if glass else {} for glass in glasses]
    labels = dict.fromkeys(label for table in tables for label in table)
    return tuple(FigureRow(each, tuple(table.get(each) for table in tables)) for each in labels)


def _balances(halves: Sequence[Half]) -> list[Balance]:
    return [half.glass.balance for half in halves if half.glass]


def _care(hazards: Sequence[Caution], halves: Sequence[Half]) -> str:
    """What to take care of, in a few words; who decides stands beside it."""
    of_drinks = [each for half in halves if half.glass for each in half.glass.cautions]
    shorts = dict.fromkeys(in_short(each) for each in (*hazards, *of_drinks))
    return "; ".join(filter(None, shorts))
