"""Scaling: from the recipe's serves to those of the rule sheet, with spare and loss, in measures
that a jigger and a scale can show.

>>> from server.domain.glass.recipe import RecipeLine, Recipe
>>> recipe = Recipe((RecipeLine("a", "gin", Amount(42, "ml")),))
>>> more = scaled_recipe(recipe, Batch(serves=4, spare=1, loss_percent=5))
>>> round(more.recipe.ingredients[0].amount.value, 1), str(more.lines[0].measure)
(221.1, '220 ml')
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Annotated

from server.domain.base.amounts import Amount
from server.domain.base.documents import Document
from server.domain.base.errors import Fault, reckoning, refuse_if
from server.domain.base.limits import Between, limit_faults
from server.domain.glass.balance import DrinkLike, balance
from server.domain.glass.brew import Brew
from server.domain.glass.figures import Figure
from server.domain.glass.making import AnyStep
from server.domain.glass.parcel import AnyRecipeLine
from server.domain.glass.recipe import Recipe, RecipeLine
from server.domain.glass.steps import Blend, Filter

WHOLE = {"dash": 1.0, "drop": 1.0, "barspoon": 0.5, "tsp": 0.25, "tbsp": 0.25}
"""Units that are counted, not poured -> the smallest share of one that makes sense; pieces stay
whole."""

LEAST_STEP = 0.001
"""Finer than this (ml, g) nothing at a bar measures."""


@dataclass(frozen=True)
class Batch(Document):
    """What is to be made, and what it can be measured with."""

    serves: Annotated[int, Between(1, 1000, "Serves lie between 1 and 1,000.")]
    spare: Annotated[int, Between(0, 1000, "Spare serves lie between 0 and 1,000.")] = 0
    """Serves made beside those that are presented."""
    loss_percent: Annotated[float, Between(0, 90, "A loss lies between 0 and 90 %.")] = 0.0
    """What stays in tins, jugs and strainers."""
    jigger: Amount = field(default_factory=lambda: Amount(5.0, "ml"))
    """The smallest volume that is measured."""
    scale_g: Annotated[
        float, Between(LEAST_STEP, 1000, "A scale shows steps between 0.001 and 1,000 g.")
    ] = 0.1

    def __post_init__(self) -> None:
        refuse_if(self._faults())

    def _faults(self) -> list[Fault]:
        faults = limit_faults(self)
        if not (self.jigger.volume_ml or 0.0) >= LEAST_STEP:
            faults.append(Fault("jigger", "The smallest measure is a volume, for example 5 ml."))
        return faults

    def factor(self, recipe_serves: int) -> float:
        """How often a recipe for so many serves is needed."""
        return (self.serves + self.spare) / recipe_serves / (1 - self.loss_percent / 100)


@dataclass(frozen=True)
class ScaledLine:
    """A line of the batch: exactly, as it can be measured, and the error of that in per cent."""

    id: str
    name: str
    exact: Amount
    measure: Amount
    error_percent: float


@dataclass(frozen=True)
class Scaled:
    """A recipe made larger, exactly and as it can be measured."""

    recipe: Recipe
    measured_recipe: Recipe
    lines: tuple[ScaledLine, ...]


@dataclass(frozen=True)
class RoundingError:
    """What measuring in steps changes against the exact batch; None where it has no meaning."""

    volume_ml: float | None
    abv_percent: float | None
    sugar_g_per_l: float | None
    acid_g_per_l: float | None


def scaled_recipe(drink: DrinkLike, batch: Batch) -> Scaled:
    """A drink for the batch's serves, spare and loss, and as jigger and scale can show it.

    Raises CannotTell for a batch larger than a recipe can be.
    """
    with reckoning("So large a batch"):
        return _scaled(drink, batch)


def _scaled(drink: DrinkLike, batch: Batch) -> Scaled:
    factor = batch.factor(drink.serves)
    serves = batch.serves + batch.spare
    steps = tuple(_step(step, factor) for step in drink.steps)
    exact = tuple(_line(part, factor) for part in drink.ingredients)
    rounded = tuple(replace(line, amount=measurable(line.amount, batch)) for line in exact)
    recipe = Recipe(exact, serves, steps, drink.part_ml)
    # Ice that a step blends in is weighed as well, though the recipe does not list it.
    ices = [_blended_ice(step) for step in steps if isinstance(step, Blend) and step.ice_g]
    weighed = [replace(line, amount=measurable(line.amount, batch)) for line in ices]
    grams = {line.id: line.amount.value for line in weighed}
    return Scaled(
        recipe=recipe,
        measured_recipe=replace(
            recipe, ingredients=rounded, steps=tuple(_with_ice(step, grams) for step in steps)
        ),
        lines=tuple(map(_compared, (*exact, *ices), (*rounded, *weighed))),
    )


def _blended_ice(step: Blend) -> RecipeLine:
    return RecipeLine(step.id, "Ice to blend", Amount(step.ice_g.value if step.ice_g else 0.0, "g"))


def _with_ice(step: AnyStep, grams: Mapping[str, float]) -> AnyStep:
    """The step with so much ice in it as was weighed for it."""
    if not isinstance(step, Blend) or step.ice_g is None or step.id not in grams:
        return step
    return replace(step, ice_g=_times(step.ice_g, grams[step.id] / step.ice_g.value))


def rounding_error(scaled: Scaled) -> RoundingError:
    """How far the measurable batch is from the exact one."""
    exact, rounded = balance(scaled.recipe).batch, balance(scaled.measured_recipe).batch

    def shift(name: str) -> float | None:
        before, after = getattr(exact, name), getattr(rounded, name)
        return None if before is None or after is None else after.value - before.value

    return RoundingError(
        volume_ml=shift("volume_ml"),
        abv_percent=shift("abv_percent"),
        sugar_g_per_l=shift("sugar_g_per_l"),
        acid_g_per_l=shift("acid_g_per_l"),
    )


def measurable(amount: Amount, batch: Batch) -> Amount:
    """An amount as it can be measured: never rounded to nothing. Parts stay as they are."""
    if amount.value == 0 or amount.unit == "part":
        return amount
    if amount.unit in WHOLE or amount.counts_pieces:
        return Amount(_stepped(amount.value, WHOLE.get(amount.unit, 1.0)), amount.unit)
    grams = amount.mass_g
    if grams is not None:
        return Amount(_stepped(grams, batch.scale_g), "g")
    steps = (amount.volume_ml or 0.0) / (batch.jigger.volume_ml or 1.0)
    return Amount(round(_stepped(steps, 1.0) * batch.jigger.value, 9), batch.jigger.unit)


def _stepped(value: float, step: float) -> float:
    # Halves go up: a short pour is the worse of two equal errors. Rounding removes binary dust.
    return round(max(1, math.floor(value / step + 0.5)) * step, 9)


def _line(part: AnyRecipeLine, factor: float) -> RecipeLine:
    return RecipeLine(
        part.id,
        part.name,
        Amount(part.amount.value * factor, part.amount.unit),
        part.substance,
        None if part.brew is None else _brew(part.brew, factor),
        part.syrup,
        part.after_step_id,
    )


def _brew(brew: Brew, factor: float) -> Brew:
    amounts = ("dose_g", "water_g", "beverage_g")
    known = {name: getattr(brew, name) for name in amounts if getattr(brew, name) is not None}
    return replace(brew, **{name: value * factor for name, value in known.items()})


def _step(step: AnyStep, factor: float) -> AnyStep:
    if isinstance(step, Filter) and step.recovered_ml is not None:
        return replace(step, recovered_ml=_times(step.recovered_ml, factor))
    if isinstance(step, Blend) and step.ice_g is not None:
        return replace(step, ice_g=_times(step.ice_g, factor))
    return step


def _times(figure: Figure, factor: float) -> Figure:
    return Figure(figure.value * factor, figure.least * factor, figure.most * factor, figure.source)


def _compared(exact: RecipeLine, rounded: RecipeLine) -> ScaledLine:
    before, after = _size(exact.amount), _size(rounded.amount)
    error = 100 * (after - before) / before if before else 0.0
    return ScaledLine(exact.id, exact.name, exact.amount, rounded.amount, error)


def _size(amount: Amount) -> float:
    return amount.volume_ml or amount.mass_g or amount.value
