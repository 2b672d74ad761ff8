"""What is known of a drink beyond its recipe's words: computed and planned values.

The caller computes them (strength, temperature when the judges drink, times of the plan); here
they only get a form that claims can be held against.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

from server.domain.claims.spoken.units import QuantityKind
from server.domain.routine.drink import Drink
from server.domain.routine.plan import Plan


@dataclass(frozen=True)
class KnownNumber:
    """A value a spoken number may mean: from `low` to `high`, in the unit of its kind.

    Temperatures in °C, strengths in % vol, times in s. `label` says in words what it is
    ("when the judges drink"). `ingredient_id` ties it to an ingredient; without it and without
    `about` it is a value of the drink in the glass. `about` are words that, said in the same
    sentence, show that this value is meant ("water", "kettle"). `process_id` names the process
    whose planned duration it is.
    """

    kind: QuantityKind
    label: str
    low: float
    high: float
    ingredient_id: str | None = None
    about: tuple[str, ...] = ()
    process_id: str | None = None
    is_bound: bool = False
    unit: str = ""
    is_stated: bool = False
    """Whether the person gives it, and nothing computes it."""

    @property
    def is_of_the_glass(self) -> bool:
        """Whether it is a value of the drink as it is drunk."""
        return self.ingredient_id is None and not self.about


STEPPED = ("step", "steps")
"""Of these words are the temperatures that a step of making brings the drink to."""

OF_VESSEL = ("vessel", "vessels")
"""Of these words is the temperature of the glass itself, warmed or chilled before it is filled."""

ICE_WATER = ("dilution", "dilutions")
"""Of these words are the per cents of water that ice adds; their labels are the next two."""

OF_BEFORE, OF_ALL = "of the volume before the ice", "of what is in the glass"

Span = tuple[float, float]
"""From the lowest to the highest that a figure may be; without an upper end, infinite."""


@dataclass(frozen=True)
class Makeup:
    """What taste and thickness hang on, of the drink as it is drunk; None where not known."""

    sugar_g_per_l: Span | None = None
    acid_g_per_l: Span | None = None
    """As citric acid; infinite above where something brings acids that are not counted."""
    sugar_to_acid: Span | None = None
    """Grams of sugar to one of acid."""
    abv_percent: Span | None = None
    is_clear: bool = False
    """Whether nothing but sugar makes it thick: no fat, egg, pulp or gum."""


@dataclass(frozen=True)
class StepEffect:
    """A word that a step of making brings: ("frothy", "shaken hard")."""

    word: str
    step: str


@dataclass(frozen=True)
class GlassFacts:
    """What is known of one drink."""

    drink_id: str
    numbers: tuple[KnownNumber, ...] = ()
    effects: tuple[StepEffect, ...] = ()
    makeup: Makeup = Makeup()


@dataclass(frozen=True)
class Tasting:
    """When the judges can taste a drink: from `from_s` to `until_s` on the elapsed clock."""

    drink_id: str
    from_s: float
    until_s: float | None = None


PURE = 100.0
"""Percent alcohol by volume that nothing exceeds."""

STRENGTH = re.compile(r"(\d+(?:[.,]\d+)?)\s*%\s*(?:vol|abv|alc)?", re.IGNORECASE)
"""A strength in an ingredient's name."""


def strengths_in_names(drink: Drink) -> tuple[KnownNumber, ...]:
    """The strengths written in ingredients' names: "Pear brandy, 40 % vol".

    >>> from server.domain.base.amounts import Amount
    >>> from server.domain.routine.drink import Ingredient
    >>> part = Ingredient("p", "Pear brandy, 40 % vol", Amount(30, "ml"))
    >>> [(k.low, k.ingredient_id) for k in strengths_in_names(Drink("d", "D", ingredients=(part,)))]
    [(40.0, 'p')]
    """
    found = []
    for part in drink.ingredients:
        match = STRENGTH.search(part.name)
        if match is not None:
            value = float(match[1].replace(",", "."))
            if value <= PURE:
                label = f"{part.name} in the recipe"
                found.append(KnownNumber("strength", label, value, value, part.id))
    return tuple(found)


def plan_times(plan: Plan) -> tuple[KnownNumber, ...]:
    """Durations that the plan knows: the slot, its target, and each parallel process."""
    rules = plan.rules
    found = [
        KnownNumber("time", "the slot", rules.slot_s, rules.slot_s, about=SLOT),
        KnownNumber("time", "the target finish", rules.target_s, rules.target_s, about=FINISH),
    ]
    for process in plan.routine.processes:
        least_s, most_s = process.duration.least_s, process.duration.most_s
        name, about = f"“{process.name}”", (process.name,)
        found.append(KnownNumber("time", name, least_s, most_s, about=about, process_id=process.id))
    found += [each for drink in plan.routine.drinks for each in _steepings(drink)]
    found += [each for drink in plan.routine.drinks for each in _waits(drink)]
    return tuple(found)


SLOT, FINISH = ("slot",), ("finish",)
"""Of these words are the slot and the target finish."""


STEEPING = ("steeped", "steeping", "steeps", "infused", "infuses", "macerated", "rested", "rests")
"""Beside one of these a time or a temperature is that of an infusion."""


def _steepings(drink: Drink) -> Iterator[KnownNumber]:
    """How long each infusion of a drink steeped, in s."""
    for part in drink.ingredients:
        hours = part.ahead.steeped_h
        if hours is not None:
            label = f"steeping {part.name}"
            yield KnownNumber("time", label, hours * 3600, hours * 3600, part.id, STEEPING)


WAITING = ("waits", "waiting", "stands", "standing")
"""Beside one of these a time is that for which an ingredient stands out of the fridge."""


def _waits(drink: Drink) -> Iterator[KnownNumber]:
    """How long ingredients of a drink stand in the room before they go in, in s."""
    for part in drink.ingredients:
        out = part.ahead.out_min
        if out is not None:
            label = f"letting {part.name} stand"
            yield KnownNumber("time", label, out.least * 60, out.most * 60, part.id, WAITING)


@lru_cache(maxsize=200)
def _nothing_known(drink_id: str) -> GlassFacts:
    return GlassFacts(drink_id)


def facts_of(facts: Sequence[GlassFacts], drink_id: str | None) -> GlassFacts:
    """All that is known of one drink, put together; empty where nothing is."""
    mine = [fact for fact in facts if fact.drink_id == drink_id]
    if len(mine) <= 1:
        return mine[0] if mine else _nothing_known(drink_id or "")
    return GlassFacts(
        drink_id or "",
        tuple(number for fact in mine for number in fact.numbers),
        tuple(effect for fact in mine for effect in fact.effects),
        next((fact.makeup for fact in mine if fact.makeup != Makeup()), Makeup()),
    )
