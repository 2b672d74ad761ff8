"""How much of every ingredient a run takes: as it is bought, and as it is packed.

Brewed coffee is bought and packed as ground coffee, where its dose is known.

>>> enough(Amount(280.0, "ml"), 1.1).words, enough(Amount(4.0, "piece"), 1.1).words
('310 ml', '5 pieces')
"""

import math
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass

from server.domain.base.amounts import Amount
from server.domain.base.errors import CannotTell
from server.domain.glass.brew import brewed
from server.domain.prepare.named_things import key_of
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.routine import Routine
from server.domain.routine.rules import RuleSheet

GROUND = "ground"
"""Said behind a mass of ground coffee, which is none of the beverage."""

MORE_THAN_A_BREW = 1.02
"""So much more than one brew yields takes another one: as the glass tells it (ours)."""


@dataclass(frozen=True)
class IngredientNeed:
    """How much of an ingredient one run takes, with the reserve.

    `amounts` are those that are bought, one for each unit; where it `is_ground`, the first is of
    ground coffee. `words` say how much is packed, as a list does.
    """

    name: str
    key: str
    amounts: tuple[Amount, ...]
    words: str = ""
    parts: tuple[Ingredient, ...] = ()
    drink_ids: tuple[str, ...] = ()
    is_ground: bool = False


@dataclass(frozen=True)
class _Use:
    """An ingredient of a drink, taken so many times; `ground_g` are those of its dose."""

    part: Ingredient
    times: float
    drink_id: str
    ground_g: float | None
    is_ahead: bool


def needs_per_run(routine: Routine, rules: RuleSheet) -> tuple[IngredientNeed, ...]:
    """Every ingredient once, under its name, with what one run takes of it and the reserve."""
    more = 1 + routine.preparation.reserve_percent / 100
    tasks = [task for task in routine.preparation.tasks if task.makes == "ingredient"]
    tasked = {(task.drink_id, task.ingredient_id) for task in tasks}
    uses: dict[str, list[_Use]] = {}
    for drink in routine.drinks:
        times = rules.serves_per_drink / drink.serves * more
        # Of a part that is set to 0 nothing is packed and nothing bought.
        for part in (each for each in drink.ingredients if each.amount.value > 0):
            use = _Use(part, times, drink.id, ground_g(part), _is_ahead(drink, part, tasked))
            uses.setdefault(key_of("ingredient", part.name), []).append(use)
    return tuple(_need(key, held) for key, held in uses.items())


def ground_g(part: Ingredient) -> float | None:
    """The ground coffee of all that a recipe takes of a brew, in g; None where it is not known.

    At least a whole dose, though only some of the brew is used; more where it is not enough.
    """
    if part.brew is None:
        return None
    try:
        cup = brewed(part.brew)
    except CannotTell:
        return None
    if cup.dose_g is None:
        return None
    unit, taken = part.amount.summed_as
    made = {"ml": cup.beverage_ml, "g": cup.beverage_g}.get(unit)
    is_more = made is not None and taken > made.high * MORE_THAN_A_BREW
    return cup.dose_g.value * (taken / made.value if made is not None and is_more else 1.0)


def enough(amount: Amount, times: float) -> Amount:
    """An amount so many times, rounded up to what can be measured: never less than it takes."""
    value = amount.value * times
    step = 1.0
    if amount.unit in ("ml", "g"):
        step = 10.0 if value >= 100 else 5.0 if value >= 20 else 1.0
    elif not amount.counts_pieces and amount.unit not in ("dash", "drop"):
        step = 0.25
    steps = math.ceil(round(value / step, 6))
    return Amount(min(round(steps * step, 6), 100_000.0), amount.unit)


def _need(key: str, uses: Sequence[_Use]) -> IngredientNeed:
    ground = [each for each in uses if each.ground_g is not None]
    plain = [each for each in uses if each.ground_g is None]
    on_the_bar = [each for each in ground if not each.is_ahead]
    as_it_is = [each for each in uses if each.ground_g is None or each.is_ahead]
    packed = [_words(_summed(as_it_is))] if as_it_is else []
    if on_the_bar:
        packed.append(f"{_dose(on_the_bar).words} {GROUND}, for {_words(_summed(on_the_bar))}")
    return IngredientNeed(
        name=uses[0].part.name,
        key=key,
        amounts=(*([_dose(ground)] if ground else ()), *_summed(plain)),
        words=" + ".join(packed),
        parts=tuple(each.part for each in uses),
        drink_ids=tuple(dict.fromkeys(each.drink_id for each in uses)),
        is_ground=bool(ground),
    )


def _is_ahead(
    drink: Drink, part: Ingredient, tasked: Collection[tuple[str | None, str | None]]
) -> bool:
    """Whether it comes to the bar as it is drunk: then no grounds of it are packed."""
    ahead = part.ahead
    return bool(ahead.made or ahead.steeped_h) or (drink.id, part.id) in tasked


def _dose(uses: Iterable[_Use]) -> Amount:
    return enough(Amount(1.0, "g"), sum((each.ground_g or 0.0) * each.times for each in uses))


def _words(amounts: Iterable[Amount]) -> str:
    return " + ".join(amount.words for amount in amounts)


def _summed(uses: Iterable[_Use]) -> tuple[Amount, ...]:
    """Amounts of one ingredient: volumes together, masses together, what is counted by its unit."""
    sums: dict[str, float] = {}
    for use in uses:
        unit, value = use.part.amount.summed_as
        sums[unit] = sums.get(unit, 0.0) + value * use.times
    return tuple(enough(Amount(1.0, unit), value) for unit, value in sums.items())
