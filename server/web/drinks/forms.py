"""The forms of a drink: its recipe, its ingredients and how it is served."""

from functools import partial
from typing import cast

from server.domain.base.amounts import Amount, parse_amount
from server.domain.base.errors import InvalidInput
from server.domain.base.numbers import write_number
from server.domain.glass.cooling import Thermometer, fitted_cooling
from server.domain.glass.figure_text import format_figure
from server.domain.glass.figures import Figure
from server.domain.glass.heat import MATERIALS_J_PER_GK
from server.domain.glass.library import LibraryEntry, ingredient
from server.domain.glass.library_match import named_alike
from server.domain.glass.substance import Substance
from server.domain.glass.vessel import Material, Vessel
from server.domain.routine.ahead import NOTHING_AHEAD
from server.domain.routine.drink import USUAL_ROOM_C, Drink, Ingredient, Service
from server.domain.routine.resized import for_serves
from server.web.drinks.substance_form import (
    ahead_from,
    ahead_values,
    brew_from,
    making_values,
    substance_from,
    substance_values,
    syrup_from,
)
from server.web.frame.forms import Typed

MATERIALS = cast(tuple[Material, ...], tuple(MATERIALS_J_PER_GK))


def drink_from(typed: Typed, drink_id: str, before: Drink | None) -> Drink:
    """The drink that a form describes, keeping its ingredients and steps. Raises InvalidInput.

    Where the number of serves is another, their amounts follow if the form says so.
    """
    serves = typed.whole_number("serves", 1, 100)
    is_other = before is not None and serves != before.serves and not typed.failed("serves")
    if before and is_other and typed.ticked("follow"):
        before = typed.take(partial(for_serves, before, serves), before)
    part_ml = typed.optional_number("part")
    service = typed.take(lambda: _service(typed, before), Service())
    return typed.built(
        lambda: Drink(
            id=drink_id,
            name=typed.text("name"),
            serves=serves,
            ingredients=before.ingredients if before else (),
            descriptors=typed.words("descriptors"),
            method=typed.text("method"),
            steps=before.steps if before else (),
            part_ml=part_ml,
            service=service,
        )
    )


def ingredient_from(typed: Typed, ingredient_id: str, before: Ingredient | None) -> Ingredient:
    """The ingredient that a form describes; raises InvalidInput with every fault.

    A form without the fields of what it is made of (the short one) takes them from the library
    where one of it was chosen or the name stands in it, and otherwise from the ingredient as it
    was. In the full form what is typed wins over what is chosen. One of which nothing was known
    but what was typed is known from then on that it is given a name of the library.
    """
    amount = typed.take(lambda: parse_amount(typed.text("amount")), Amount(0, "ml"))
    entry = _library_entry(typed)
    is_full = "kind" in typed.values
    is_new = before is None
    if entry is None and before and _is_unknown(typed, before):
        entry = _fitting(named_alike(typed.text("name")), before.substance)
        is_new = entry is not None
    name = typed.text("name") or (entry.name if entry and is_new else "")
    words = typed.words("descriptors") or (entry.descriptors if entry and is_new else ())
    known = before.substance if before else None
    given = entry.substance if entry else known
    substance = substance_from(typed, known, entry) if is_full else given
    brew = brew_from(typed) if is_full else before.brew if before else None
    cooked = before.syrup if before else None
    syrup = syrup_from(typed, cooked) if is_full else cooked
    done = before.ahead if before else NOTHING_AHEAD
    ahead = ahead_from(typed, done) if is_full else done
    return typed.built(
        lambda: Ingredient(
            id=ingredient_id,
            name=name,
            amount=amount,
            descriptors=words,
            substance=substance,
            brew=brew,
            syrup=syrup,
            after_step_id=typed.choice("after"),
            ahead=ahead,
        )
    )


def drink_values(drink: Drink) -> dict[str, str]:
    """The texts with which the form of a drink starts."""
    service = drink.service
    vessel = service.vessel or Vessel()
    cooling = vessel.cooling_per_min
    return {
        "name": drink.name,
        "serves": str(drink.serves),
        "descriptors": ", ".join(drink.descriptors),
        "method": drink.method,
        "part": _number(drink.part_ml),
        "room": _number(service.room_c),
        "stated": _number(service.stated_c),
        "poured": service.poured_segment_id or "",
        "drunk": service.drunk_segment_id or "",
        "over_ice": "yes" if service.over_ice else "",
        "vessel": vessel.name,
        "material": vessel.material,
        "mass_g": _number(vessel.mass_g),
        "holds_ml": _number(vessel.holds_ml),
        "vessel_c": _number(vessel.temp_c),
        "cooling": "" if cooling is None else format_figure(cooling),
    }


def ingredient_values(part: Ingredient) -> dict[str, str]:
    """The texts with which the form of an ingredient starts."""
    return {
        "name": part.name,
        "amount": str(part.amount),
        "descriptors": ", ".join(part.descriptors),
        "after": part.after_step_id or "",
        **substance_values(part.substance, named_alike(part.name)),
        **making_values(part.brew, part.syrup),
        **ahead_values(part.ahead),
    }


def library_values(key: str) -> dict[str, str]:
    """What an entry of the library puts into the form of an ingredient. Raises NotFound."""
    entry = ingredient(key)
    words = {"name": entry.name, "descriptors": ", ".join(entry.descriptors)}
    return {**words, **substance_values(entry.substance, entry)}


def _is_unknown(typed: Typed, before: Ingredient) -> bool:
    """Whether nothing was known but what was typed of what now gets another name."""
    renamed = typed.text("name").casefold() != before.name.casefold()
    made = typed.text("making") in ("brew", "syrup")
    known = before.substance or Substance()
    is_typed = len(known.typed) == len(known.figures)
    return renamed and not made and is_typed and (before.brew, before.syrup) == (None, None)


def _fitting(entry: LibraryEntry | None, known: Substance | None) -> LibraryEntry | None:
    """The entry where it is of the kind that was chosen before, if one was."""
    chosen = known.kind if known else "other"
    return entry if entry and chosen in ("other", entry.substance.kind) else None


def _library_entry(typed: Typed) -> LibraryEntry | None:
    key = typed.text("library")
    if key:
        return ingredient(key)
    if "kind" in typed.values:
        return None
    return named_alike(typed.text("name"))


def _service(typed: Typed, before: Drink | None) -> Service:
    room_c = typed.optional_number("room")
    room_c = USUAL_ROOM_C if room_c is None else room_c
    return Service(
        vessel=_vessel(typed, room_c, before.service.vessel if before else None),
        room_c=room_c,
        stated_c=typed.optional_number("stated"),
        poured_segment_id=typed.choice("poured"),
        drunk_segment_id=typed.choice("drunk"),
        over_ice=typed.ticked("over_ice"),
    )


def _vessel(typed: Typed, room_c: float, before: Vessel | None) -> Vessel | None:
    known = before.cooling_per_min if before else None
    glass: Material = "glass"
    vessel = typed.take(
        lambda: Vessel(
            name=typed.text("vessel"),
            material=typed.chosen("material", MATERIALS, glass),
            mass_g=typed.optional_number("mass_g"),
            temp_c=typed.optional_number("vessel_c"),
            cooling_per_min=_cooling(typed, room_c, known),
            holds_ml=typed.optional_number("holds_ml"),
        ),
        Vessel(),
    )
    return None if vessel == Vessel() else vessel


def _cooling(typed: Typed, room_c: float, known: Figure | None) -> Figure | None:
    """The cooling constant: from two thermometer readings where they are given, else as typed."""
    texts = [typed.text(name) for name in ("first_c", "second_c", "apart")]
    if not any(texts):
        return typed.optional_figure("cooling", known)
    first_c, second_c = typed.number("first_c", -80, 110), typed.number("second_c", -80, 110)
    minutes = typed.duration("apart") / 60
    try:
        return fitted_cooling(Thermometer(0, first_c), Thermometer(minutes, second_c), room_c)
    except InvalidInput as error:
        raise InvalidInput.of("second_c", error.message) from error


def _number(value: float | None) -> str:
    return "" if value is None else write_number(value)
