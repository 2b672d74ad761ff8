"""The balance of a drink: everything that can be said about the glass, per batch and per serve.

Volumes and strengths are at 20 °C with ethanol-water contraction counted; for drinks that hold
sugar too see `liquid`. Numbers that hang on something unknown say whose property is missing.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Protocol

from server.domain.base.errors import CannotTell
from server.domain.glass.acid import Curdling
from server.domain.glass.alcohol import Definition
from server.domain.glass.allergens import Allergen, in_order
from server.domain.glass.cold.blending import BLENDER_J_PER_G, blended, ice_to_blend_g
from server.domain.glass.cold.on_ice import LEAST_TOLD, melt_is_told
from server.domain.glass.course import (
    DrinkCourse,
    LayerReading,
    Taken,
    course_of,
    end_of,
    layers_of,
    taken_steps,
)
from server.domain.glass.curdle import curdling_in
from server.domain.glass.liquid import (
    Liquid,
    freezes_at_c,
    ice,
    mass_g,
    mixing_k,
    scaled,
    slush_of,
    temp_c,
    volume_ml,
)
from server.domain.glass.making import AnyStep, boils_spirit, doubt_of, filter_overdraws
from server.domain.glass.parcel import FREEZING, MELT, AnyRecipeLine, Parcel, Unknown, parcel_of
from server.domain.glass.steps import Agitate, Blend, Bring, Ice
from server.domain.glass.totals import Totals, shared_out, totals_of
from server.domain.glass.unit import unit_price

ICE_UNCOUNTED = "Ice is listed, but no step says how much of it melts: none of it is counted."

WISH_C = 0.3
"""A temperature that is asked for counts as met within this (ours: less than one can tell)."""


class DrinkLike(Protocol):
    """A drink, whatever class holds it."""

    @property
    def serves(self) -> int:
        """How many glasses the ingredients make."""

    @property
    def ingredients(self) -> Sequence[AnyRecipeLine]:
        """What goes in, for all serves together."""

    @property
    def steps(self) -> Sequence[AnyStep]:
        """What is done to it."""

    @property
    def part_ml(self) -> float | None:
        """How large one "part" is; None where parts are not used."""


@dataclass(frozen=True)
class StepNote:
    """What a step did, for the page: amounts per batch, and how sure that is."""

    step_id: str
    kind: str
    added_g: float
    behind_ml: float
    temp_c: float | None
    sureness: str


@dataclass(frozen=True)
class Balance:
    """A drink worked out."""

    serves: int
    batch: Totals
    serve: Totals
    serve_liquid: Liquid
    """What is in one glass, for working out its temperature in a vessel."""
    definition: Definition
    """What a standard drink is here."""
    allergens: tuple[Allergen, ...]
    allergens_unknown: tuple[str, ...]
    """Ingredients whose allergens are not known, or not all of them, or told by the name alone."""
    allergens_doubted: tuple[str, ...]
    """The same, each with what its name tells of."""
    mixing_k: float
    """By how much spirit and water warm each other where they first meet."""
    parcels: tuple[Parcel, ...]
    """Each ingredient as a liquid, in the order of the recipe: for shares of volume."""
    layers: tuple[LayerReading, ...]
    curdling: Curdling | None
    """What acid does to milk in the drink; None where one of the two is missing."""
    steps: tuple[StepNote, ...]
    unknowns: tuple[Unknown, ...]
    notices: tuple[str, ...]
    """What is odd about the recipe, and how it was taken."""


def balance(drink: DrinkLike, definition: Definition = "WHO", over_ice: bool = False) -> Balance:
    """Everything that follows from a drink's ingredients and steps.

    `over_ice` says that it is poured over the ice that is listed and no step uses: as poured none
    of that is in it. Raises CannotTell for a drink without ingredients.
    """
    if not drink.ingredients:
        raise CannotTell("An empty drink has nothing to reckon with.")
    parcels = [parcel_of(part, drink.part_ml) for part in drink.ingredients]
    course = course_of(parcels, drink.steps)
    taken = taken_steps(course)
    end = end_of(course)
    known = [u for parcel in parcels for u in parcel.unknowns]
    unknowns = [
        *known,
        *_unmelted(course, taken),
        *_left_to_melt(parcels, taken, over_ice),
        *_unfrozen(course, taken),
        *_uncosted(parcels),
    ]
    batch = totals_of(course, end, unknowns, definition)
    return Balance(
        serves=drink.serves,
        batch=batch,
        serve=shared_out(batch, drink.serves),
        serve_liquid=scaled(end, 1 / drink.serves),
        definition=definition,
        allergens=in_order({a for parcel in parcels for a in parcel.allergens or ()}),
        allergens_unknown=tuple(p.name for p in parcels if p.allergens_doubted),
        allergens_doubted=tuple(p.allergens_doubted for p in parcels if p.allergens_doubted),
        mixing_k=mixing_k(course.start),
        parcels=tuple(parcels),
        layers=layers_of(course) if drink.steps else (),
        curdling=curdling_in(parcels, end),
        steps=tuple(_note(each) for each in taken),
        unknowns=tuple(unknowns),
        notices=tuple(_notices(parcels, taken)),
    )


def _unmelted(course: DrinkCourse, taken: Sequence[Taken]) -> list[Unknown]:
    """Ingredients that keep it from being told how much ice melts."""
    untold = [n for n, each in enumerate(taken) if _is_untold(each)]
    if not untold:
        return []
    return [
        Unknown(parcel.name, MELT, f"{parcel.name}: how much ice it melts hangs on that.")
        for parcel, place in zip(course.parcels, course.places, strict=True)
        if place <= untold[-1] and parcel.liquid.untold_g > 0
    ]


def _left_to_melt(
    parcels: Sequence[Parcel], taken: Sequence[Taken], over_ice: bool
) -> list[Unknown]:
    """Ice that is listed while no step says what it melts to: it thins and cools all the same."""
    if any(isinstance(each.step, Ice | Agitate | Blend) for each in taken):
        return list(_unweighed(parcels, taken))
    if over_ice:
        return []
    return [
        Unknown(parcel.name, MELT, f"{parcel.name}: how much of it melts is not known.")
        for parcel in parcels
        if parcel.substance.kind == "ice"
    ]


def _unweighed(parcels: Sequence[Parcel], taken: Sequence[Taken]) -> Iterator[Unknown]:
    """Ice that is blended while nobody tells how much: all of it would be in the drink."""
    if not any(_is_unweighed(each.step) for each in taken):
        return
    listed = [parcel.name for parcel in parcels if parcel.substance.kind == "ice"]
    for name in listed or ["Ice to blend"]:
        yield Unknown(name, MELT, f"{name}: how much it weighs is not known.")


def _is_unweighed(step: AnyStep) -> bool:
    return isinstance(step, Blend) and step.ice_g is None


def _unfrozen(course: DrinkCourse, taken: Sequence[Taken]) -> Iterator[Unknown]:
    """Ingredients of a slush that keep it from being told where it freezes."""
    slushy = [n for n, each in enumerate(taken) if isinstance(each.step, Blend)]
    least_g = (1 - LEAST_TOLD) * sum(mass_g(parcel.liquid) for parcel in course.parcels)
    for parcel, place in zip(course.parcels, course.places, strict=True):
        lacks = parcel.substance.lacks("abv") or parcel.substance.lacks("sugar")
        if slushy and place <= slushy[-1] and lacks and mass_g(parcel.liquid) > least_g:
            words = f"{parcel.name}: how cold the drink is as slush hangs on that."
            yield Unknown(parcel.name, FREEZING, words)


def _is_untold(taken: Taken) -> bool:
    return isinstance(taken.step, Ice) and not melt_is_told(taken.before)


def _uncosted(parcels: Sequence[Parcel]) -> list[Unknown]:
    """Ingredients without a cost, where some have one."""
    free = ("water", "ice")
    paid = [parcel for parcel in parcels if parcel.substance.kind not in free]
    if not any(parcel.substance.cost for parcel in paid):
        return []
    return [
        Unknown(parcel.name, "cost", f"{parcel.name}: its cost is not known.")
        for parcel in paid
        if unit_price(parcel.substance) is None
    ]


def _note(taken: Taken) -> StepNote:
    step, _, change = taken
    return StepNote(
        step_id=step.id,
        kind=step.kind,
        added_g=mass_g(change.added),
        behind_ml=volume_ml(change.behind),
        temp_c=temp_c(change.after),
        sureness=doubt_of(step).words,
    )


def _notices(parcels: Sequence[Parcel], taken: Sequence[Taken]) -> Iterator[str]:
    for parcel in parcels:
        yield from parcel.notices
    chilled = any(isinstance(each.step, Ice | Agitate | Blend) for each in taken)
    if not chilled and any(parcel.substance.kind == "ice" for parcel in parcels):
        yield ICE_UNCOUNTED
    for step, before, change in taken:
        if filter_overdraws(step, before):
            there_ml = f"{volume_ml(before):.0f} ml"
            yield f"More comes through the filter than the {there_ml} there are: taken as all."
        if boils_spirit(step, before):
            yield "Above 78 °C alcohol leaves with the steam; that loss is not counted."
        yield from _unmet(step, before, change.after)


def _unmet(step: AnyStep, before: Liquid, after: Liquid) -> Iterator[str]:
    """Why a temperature that is asked for is not what comes of a step."""
    if isinstance(step, Blend):
        yield from _blend_notices(step, before, after)
        return
    if isinstance(step, Ice) and not melt_is_told(before):
        yield "How much ice melts is not known, so none is counted: give each part a temperature."
        return
    ends_c = temp_c(after)
    if ends_c is None or not isinstance(step, Ice | Bring):
        return
    wanted = _wished_c(step.to_temp_c)
    if isinstance(step, Ice) and after is before:
        yield f"The drink is no warmer than the {wanted} asked for: no ice melts."
    elif isinstance(step, Ice) and ends_c > step.to_temp_c + WISH_C:
        reached = _told_c(ends_c)
        yield f"Ice takes it to {reached} at the coldest, where it begins to freeze, not {wanted}."
    elif isinstance(step, Bring) and ends_c < freezes_at_c(after) - WISH_C:
        frozen = _told_c(freezes_at_c(after))
        yield f"It begins to freeze at {frozen}: at {wanted} part of it is ice."


def _blend_notices(step: Blend, before: Liquid, after: Liquid) -> Iterator[str]:
    """What is odd about a slush, and why it is not as cold as is wished for."""
    if step.ice_g is None:
        yield "How much ice is blended in is not known: give its grams, or list it with its weight."
    elif not melt_is_told(before):
        yield "How much of the ice stays is not known: give each part a temperature."
        return
    ends_c, wish_c = temp_c(after), step.to_temp_c
    if ends_c is not None and after.iced_g > 0 and slush_of(after).ice_g <= 0:
        yield f"All of the ice melts as it is blended, at {_told_c(ends_c)}: it is no slush."
    if wish_c is None or ends_c is None or not melt_is_told(before):
        return
    if step.ice_g is not None and abs(ends_c - wish_c) <= WISH_C:
        return
    wanted = _wished_c(wish_c)
    comes = f"It comes to {_told_c(ends_c)}, not {wanted}: " if step.ice_g else ""
    asks_g = ice_to_blend_g(before, wish_c, step.ice_c)
    if asks_g is None:
        yield f"{comes}no amount of that ice takes it to {wanted}."
    else:
        asked = blended(before, ice(asks_g, step.ice_c), BLENDER_J_PER_G.value)
        rest = "" if slush_of(asked).ice_g > 0 else ", all of which melts"
        yield f"{comes}{wanted} asks for about {asks_g:.0f} g of ice{rest}."


def _told_c(at_c: float) -> str:
    return f"{at_c:.1f} °C".replace("-", "−")


def _wished_c(at_c: float) -> str:
    return f"{at_c:g} °C".replace("-", "−")
