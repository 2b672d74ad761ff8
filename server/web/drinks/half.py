"""A drink as its half of the page shows it: big figures, one line, the glass and its list."""

import re
from collections import Counter
from dataclasses import dataclass, replace
from typing import Literal

from server.domain.glass.figures import Estimate
from server.domain.glass.steps import ON_ICE, Blend
from server.domain.glass.totals import Totals
from server.domain.routine.brim import Brim, filled_ml
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.served import poured_and_drunk
from server.domain.routine.waiting import Waited
from server.web.drinks.glass_line import LEAST_ADDED_G, LinePart, big, glass_line, shown_totals
from server.web.drinks.glass_picture import Filling, GlassPicture, picture_of, shape_of
from server.web.drinks.in_script import Contradiction, Said
from server.web.drinks.serve_amounts import Serving, shown_amount
from server.web.drinks.view import Glass, lacking_words, unknown_parts, waited_words
from server.web.frame.filters import decimal
from server.web.frame.tape import DRINK_KINDS

WARM_C = 40.0
_SHORT = re.compile(r"[,;(]")


@dataclass(frozen=True)
class BigFigure:
    """A figure to act on, what stands beside it, and whether it needs the person.

    `name` is the figure's own, for what it was made of.
    """

    name: str
    figure: str
    beside: str
    needs: bool = False


@dataclass(frozen=True)
class PartRow:
    """A row of the list; `name` is short, `full` as it was typed."""

    id: str
    name: str
    full: str
    amount: str
    gives: str
    contradiction: Contradiction | None
    is_bare: bool
    """Whether nothing is known of what it is made of."""
    waits: str = ""
    """How long it waits before it goes in, and how warm it is then."""


@dataclass(frozen=True)
class AddedRow:
    """Water that a step adds, at the foot of the list."""

    step_id: str
    name: str
    amount: str
    how: str


@dataclass(frozen=True)
class CardWord:
    """A descriptor on the card and what ails it."""

    word: str
    trouble: str


@dataclass(frozen=True)
class Half:
    """A drink on the page. `kind` names its colour, `number` is its place from 0."""

    drink: Drink
    number: int
    kind: str
    short: str
    glass: Glass | None
    untold: str
    figures: tuple[BigFigure, ...]
    line: tuple[LinePart, ...]
    unknown: int
    """Of how many parts not all is known."""
    lacking: str
    """What is not known or odd, in a few words."""
    lacking_at: str
    """What opens on it: the first part that is not known, or the figures with what is odd."""
    rows: tuple[PartRow, ...]
    added: tuple[AddedRow, ...]
    drawing: GlassPicture | None
    is_warm: bool
    card: tuple[CardWord, ...]
    verdict: str
    """"All given and said." where that is so."""
    brim: Brim | None = None
    """What is wrong with the size of its vessel."""


def half_of(
    drink: Drink, number: int, short: str, glass: Glass | None, untold: str, said: Said,
    serving: Serving,
) -> Half:  # fmt: skip
    """What the page shows of a drink."""
    card = tuple(
        CardWord(each, said.troubles.get((drink.id, each), "")) for each in drink.descriptors
    )
    added = _added(drink, glass, serving)
    unknown = unknown_parts(drink, glass)
    rows = tuple(_rows(drink, said, serving, glass.waited if glass else ()))
    return Half(
        drink=drink,
        number=number,
        kind=f"drink-{number % DRINK_KINDS + 1}",
        short=short,
        glass=glass,
        untold=untold,
        figures=_figures(glass, serving) if glass else (),
        line=glass_line(glass, serving) if glass else (),
        unknown=len(unknown),
        lacking=lacking_words(glass, len(unknown)) if glass else "",
        lacking_at=_lacking_at(glass, unknown) if glass else "",
        rows=rows,
        added=added,
        drawing=_picture(glass, rows, added) if glass else None,
        is_warm=bool(glass and (temp := _temp(glass)) and temp.value >= WARM_C),
        card=card,
        verdict=_verdict(card, said),
        brim=glass.brim if glass else None,
    )


def short_name(part: Ingredient) -> str:
    """A name without what stands after its first comma, with its strength."""
    before = _SHORT.split(part.name, maxsplit=1)[0].strip() or part.name
    strength = part.substance.abv if part.substance else None
    if strength is None or strength.value <= 0 or "%" in before:
        return before
    return f"{before}, {strength.value:g} %"


def _rows(drink: Drink, said: Said, serving: Serving, waited: tuple[Waited, ...]) -> list[PartRow]:
    waits = {each.ingredient_id: waited_words(each) for each in waited}
    names = {part.id: short_name(part) for part in drink.ingredients}
    alike = Counter(names.values())
    return [
        PartRow(
            id=part.id,
            name=names[part.id] if alike[names[part.id]] == 1 else part.name,
            full=part.name,
            amount=shown_amount(part.amount, drink.serves, serving).words,
            gives=", ".join(part.descriptors),
            contradiction=said.contradictions.get(part.id),
            is_bare=part.is_bare,
            waits=waits.get(part.id, ""),
        )
        for part in drink.ingredients
    ]


def _blends_listed(drink: Drink) -> bool:
    """Whether its ice is blended in as it is listed: it has a row of its own already."""
    return any(isinstance(step, Blend) and step.ice_g is None for step in drink.steps)


def _added(drink: Drink, glass: Glass | None, serving: Serving) -> tuple[AddedRow, ...]:
    if glass is None:
        return ()
    listed = {step.id for step in drink.steps if isinstance(step, Blend) and step.ice_g is None}
    shared = drink.serves if serving == "one" else 1
    words = {
        "ice": "Water from the ice",
        "stir": "Water from the ice",
        "shake": "Water from the ice",
        "blend": "Ice blended in",
    }
    return tuple(
        AddedRow(
            step_id=note.step_id,
            name=words.get(note.kind, "Water"),
            amount=f"{decimal(note.added_g / shared)} {'g' if note.kind == 'blend' else 'ml'}",
            how={"stir": "stirred", "shake": "shaken", "ice": "chilled"}.get(note.kind, ""),
        )
        for note in glass.balance.steps
        if note.added_g > LEAST_ADDED_G and note.step_id not in listed
    )


def _picture(
    glass: Glass, rows: tuple[PartRow, ...], added: tuple[AddedRow, ...]
) -> GlassPicture | None:
    serve = glass.balance.serve.volume_ml
    if serve is None or serve.value <= 0:
        return None
    serves = glass.balance.serves
    parcels = [each.liquid.apart_ml / serves or None for each in glass.balance.parcels]
    blends, ice = _blends_listed(glass.drink), _ice_stands(glass)
    ice_g = [each.ice_g if blends else None for each in glass.balance.parcels]
    water = {note.step_id: note.added_g / serves for note in glass.balance.steps}
    fillings = [
        Filling(
            f"{row.amount} {row.full}",
            grams.value / serves if grams else ml,
            row.contradiction is not None,
            is_water=grams is not None,
            ice=ice if parcel.substance.kind == "ice" and grams is None else "",
        )
        for row, ml, grams, parcel in zip(rows, parcels, ice_g, glass.balance.parcels, strict=True)
    ]
    fillings += [
        Filling(f"{each.amount} {each.name}", water[each.step_id], is_water=True) for each in added
    ]
    vessel = glass.drink.service.vessel
    shape = shape_of(vessel.name, vessel.material) if vessel else "tumbler"
    holds_ml = vessel.holds_ml if vessel else None
    return picture_of(fillings, serve.value, shape, _ice_ml(glass), holds_ml)


def _ice_ml(glass: Glass) -> float | None:
    """The room that the ice takes which a serve stands over; None where it stands over none."""
    poured = glass.balance.serve.volume_ml
    filled = filled_ml(glass.drink, glass.balance, glass.standing)
    if not glass.drink.service.over_ice or poured is None or filled is None:
        return None
    return max(filled.value - poured.value, 0.0)


def _ice_stands(glass: Glass) -> Literal["in it", "away"]:
    """Where listed ice is that is not blended: in the glass, or a step has used it."""
    used = any(step.kind in ON_ICE for step in glass.drink.steps)
    return "away" if used and not glass.drink.service.over_ice else "in it"


def _figures(glass: Glass, serving: Serving) -> tuple[BigFigure, ...]:
    serve, vessel = shown_totals(glass, serving), glass.drink.service.vessel
    where = f"in a {vessel.name}" if vessel and vessel.name else "a serve"
    if serve is not glass.balance.serve:
        where = f"for all {glass.balance.serves}"
    return (
        _poured(glass, serve, BigFigure("volume_ml", big(serve.volume_ml, 0, "ml"), where)),
        _poured(glass, serve, BigFigure("abv_percent", big(serve.abv_percent, 1, "%"), "alcohol")),
        _warmth(glass),
    )


def _poured(glass: Glass, shown: Totals, figure: BigFigure) -> BigFigure:
    """A figure of what is poured; over ice with what becomes of it until it is drunk."""
    now: Estimate | None = getattr(shown, figure.name)
    if not glass.drink.service.over_ice or now is None or now.high <= 0:
        return figure
    drunk = glass.standing.when_drunk(figure.name)
    if drunk is None:
        return replace(figure, beside=poured_and_drunk(figure.beside))
    is_volume = figure.name == "volume_ml"
    if is_volume and shown is not glass.balance.serve:
        drunk = drunk.times(glass.balance.serves)
    told = big(drunk, 0, "ml") if is_volume else big(drunk, 1, "%")
    return replace(figure, beside=poured_and_drunk(figure.beside, told))


def _warmth(glass: Glass) -> BigFigure:
    """How warm it is when it is drunk, beside what is said of that."""
    standing, stated_c = glass.standing, glass.drink.service.stated_c
    figure = big(_temp(glass), 0, "°C")
    if stated_c is not None and standing.drunk is not None:
        if standing.agrees:
            return BigFigure("drunk_c", figure, f"you say {stated_c:g}: fits")
        low, high = decimal(standing.drunk.low), decimal(standing.drunk.high)
        beside = f"you say {stated_c:g}, it is {low} to {high}"
        return BigFigure("drunk_c", figure, beside, needs=True)
    if standing.drunk is not None:
        return BigFigure("drunk_c", figure, "when drunk")
    if standing.poured is not None:
        return BigFigure("poured_c", figure, "when poured")
    return BigFigure("temp_c", figure, "as mixed")


def _temp(glass: Glass) -> Estimate | None:
    standing = glass.standing
    return standing.drunk or standing.poured or glass.balance.serve.temp_c


def _lacking_at(glass: Glass, unknown: tuple[Ingredient, ...]) -> str:
    if not unknown or glass.balance.notices:
        return "open=figures"
    return f"edit=ingredient-{unknown[0].id}"


def _verdict(card: tuple[CardWord, ...], said: Said) -> str:
    if not card or any(each.trouble for each in card):
        return ""
    return "All given and said." if said.has_words else "No words are written yet."
