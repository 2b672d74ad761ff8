"""The numbers of a drink, each with its range and with what it lacks to be whole."""

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass, fields

from server.domain.glass.alcohol import STANDARD_DRINK_G, Definition
from server.domain.glass.cold.blending import ICE_G_PER_ML
from server.domain.glass.course import DrinkCourse, Floor, doubtful_ends
from server.domain.glass.figures import Estimate
from server.domain.glass.liquid import (
    Liquid,
    ethanol_ml,
    mass_g,
    slush_of,
    temp_c,
    volume_ml,
)
from server.domain.glass.parcel import FREEZING, MELT, Unknown


@dataclass(frozen=True)
class Totals:
    """The numbers of a batch or a serve. None where a number has no meaning for this drink."""

    volume_ml: Estimate | None
    mass_g: Estimate | None
    abv_percent: Estimate | None
    abv_additive_percent: Estimate | None
    """Strength by the additive rule, contraction neglected: what a recipe card would claim."""
    contraction_ml: Estimate | None
    """How much less the drink measures than its parts did apart."""
    ethanol_g: Estimate | None
    standard_drinks: Estimate | None
    sugar_g: Estimate | None
    sugar_g_per_l: Estimate | None
    brix: Estimate | None
    """Sugar in 100 g. A refractometer shows something else where there is alcohol."""
    acid_g: Estimate | None
    acid_g_per_l: Estimate | None
    sugar_to_acid: Estimate | None
    """Without an upper bound (infinite) where there may be no acid at all."""
    energy_kcal: Estimate | None
    caffeine_mg: Estimate | None
    cost: Estimate | None
    temp_c: Estimate | None
    ice_g: Estimate | None
    """Ice that is left of what was blended in; these three None where nothing was."""
    slush_ml: Estimate | None
    """Volume with that ice, the liquid between it as at 20 °C."""
    liquid_abv_percent: Estimate | None
    """Strength of the liquid between the ice."""


KCAL_PER_G = {
    "ethanol": 7.0, "sugar": 4.0, "carbohydrate": 4.0, "protein": 4.0, "fat": 9.0, "acid": 3.0,
}  # fmt: skip
"""Conversion factors of Regulation (EU) No 1169/2011, Annex XIV. Tables with 7.1 kcal for ethanol
(as it burns: 6.93 to 7.1) differ by 1.5 %."""

_NAMES = tuple(field.name for field in fields(Totals))

SHARED_OUT = frozenset(
    {
        *("volume_ml", "mass_g", "contraction_ml", "ethanol_g", "standard_drinks", "sugar_g"),
        *("acid_g", "energy_kcal", "caffeine_mg", "cost", "ice_g", "slush_ml"),
    }
)
"""Numbers that are shared out among the serves; the others are the same in each glass."""

_MAY_BE_NEGATIVE = frozenset({"contraction_ml", "temp_c"})

_LACKED_BY: dict[str, frozenset[str]] = {
    "volume_ml": frozenset({"amount", "volume", MELT}),
    "mass_g": frozenset({"amount", "mass", "trace", MELT}),
    "abv_percent": frozenset({"amount", "volume", "abv", MELT}),
    "abv_additive_percent": frozenset({"amount", "volume", "abv", MELT}),
    "contraction_ml": frozenset({"amount", "volume", "abv", "sugar", MELT}),
    "ethanol_g": frozenset({"amount", "volume", "abv"}),
    "standard_drinks": frozenset({"amount", "volume", "abv"}),
    "sugar_g": frozenset({"amount", "sugar"}),
    "sugar_g_per_l": frozenset({"amount", "volume", "sugar", MELT}),
    "brix": frozenset({"amount", "mass", "sugar", MELT}),
    "acid_g": frozenset({"amount", "acid"}),
    "acid_g_per_l": frozenset({"amount", "volume", "acid", MELT}),
    "sugar_to_acid": frozenset({"amount", "sugar", "acid"}),
    "energy_kcal": frozenset({"amount", "abv", "sugar", "carbohydrate", "acid", "fat", "protein"}),
    "caffeine_mg": frozenset({"amount", "caffeine"}),
    "cost": frozenset({"amount", "cost"}),
    "temp_c": frozenset({"amount", "temp", MELT, FREEZING}),
    "ice_g": frozenset({"amount", "temp", MELT, FREEZING}),
    "slush_ml": frozenset({"amount", "volume", "temp", MELT, FREEZING}),
    "liquid_abv_percent": frozenset({"amount", "volume", "abv", "temp", MELT, FREEZING}),
}
"""Number -> the unknown properties that keep it from being whole."""

_THINNED = frozenset(
    {"abv_percent", "abv_additive_percent", "sugar_g_per_l", "brix", "acid_g_per_l", "temp_c"}
)
"""Numbers that melted ice makes smaller (or colder): with some of it uncounted they are the most,
not the least; where something else is uncounted too, nothing can be said."""

_SHRUNK_BY = {**dict.fromkeys(_THINNED, MELT), "sugar_to_acid": "acid"}
"""Number -> the property that makes it smaller the more of it is uncounted."""

_OPENED_BY = {
    "volume_ml": frozenset({"volume"}),
    "mass_g": frozenset({"mass"}),
    **dict.fromkeys(_THINNED - {"temp_c"}, frozenset({"amount", "volume", "mass"})),
    "sugar_to_acid": frozenset({"amount"}),
    "temp_c": frozenset({"amount", "temp", FREEZING}),
    "ice_g": frozenset({"amount", "temp", FREEZING}),
    "liquid_abv_percent": frozenset({"amount", "volume", "temp", FREEZING}),
}
"""Number -> the properties that make it larger or smaller, nobody knows which: so much more of
something may be weaker or colder than the rest, and what is counted as water may be lighter or
heavier than that."""

_UNDEFINED = math.nan

_TEMP = _NAMES.index("temp_c")


def totals_of(
    course: DrinkCourse, end: Liquid, unknowns: Collection[Unknown], definition: Definition
) -> Totals:
    """The numbers of a batch that ends as `end`."""
    likely = _numbers(end, definition)
    lows, highs = list(likely), list(likely)
    floor = Floor(course, end)
    for pair in doubtful_ends(course):
        one, other = (_numbers(liquid, definition) for liquid in pair)
        floor.lower(pair[0], one[_TEMP])
        floor.lower(pair[1], other[_TEMP])
        for index, value in enumerate(likely):
            # A number that an end leaves undefined stays where it is: comparing with NaN is false.
            # Compared by hand, for this is what most of a drink's time goes into.
            down = up = 0.0
            for step in (one[index] - value, other[index] - value):
                if step < down:
                    down = step
                elif step > up:
                    up = step
            lows[index] += down
            highs[index] += up
    lows[_TEMP] = floor.under(likely[_TEMP], lows[_TEMP])
    lacking = [[u for u in unknowns if u.about in _LACKED_BY[name]] for name in _NAMES]
    return Totals(*map(_estimate, _NAMES, likely, lows, highs, lacking))


def shared_out(batch: Totals, serves: int) -> Totals:
    """The numbers of one serve out of so many."""
    return Totals(*[_share(name, getattr(batch, name), serves) for name in _NAMES])


def _share(name: str, estimate: Estimate | None, serves: int) -> Estimate | None:
    if estimate is None or name not in SHARED_OUT:
        return estimate
    return estimate.times(1 / serves)


def _numbers(liquid: Liquid, definition: Definition) -> tuple[float, ...]:
    """Values in the order of the fields of Totals."""
    volume = volume_ml(liquid)
    mass = mass_g(liquid)
    alcohol_ml = ethanol_ml(liquid)
    heat = temp_c(liquid)
    return (
        volume,
        mass,
        _ratio(100 * alcohol_ml, volume),
        _ratio(100 * alcohol_ml, liquid.apart_ml),
        liquid.apart_ml - volume,
        liquid.ethanol_g,
        liquid.ethanol_g / STANDARD_DRINK_G[definition],
        liquid.sugar_g,
        _ratio(1000 * liquid.sugar_g, volume),
        _ratio(100 * liquid.sugar_g, mass),
        liquid.acid_g,
        _ratio(1000 * liquid.acid_g, volume),
        _sugar_to_acid(liquid),
        energy_kcal(liquid),
        liquid.caffeine_mg,
        liquid.cost or _UNDEFINED,
        _UNDEFINED if heat is None else heat,
        *_slushy(liquid),
    )


def _slushy(liquid: Liquid) -> tuple[float, float, float]:
    """Ice, volume with it, and the strength of what is between it."""
    if liquid.iced_g <= 0:
        return _UNDEFINED, _UNDEFINED, _UNDEFINED
    slush = slush_of(liquid)
    between_ml = volume_ml(slush.liquid)
    strength = _ratio(100 * ethanol_ml(slush.liquid), between_ml)
    return slush.ice_g, between_ml + slush.ice_g / ICE_G_PER_ML, strength


def energy_kcal(liquid: Liquid) -> float:
    """Food energy by the EU factors."""
    return (
        liquid.ethanol_g * KCAL_PER_G["ethanol"]
        + liquid.sugar_g * KCAL_PER_G["sugar"]
        + liquid.carbohydrate_g * KCAL_PER_G["carbohydrate"]
        + liquid.protein_g * KCAL_PER_G["protein"]
        + liquid.fat_g * KCAL_PER_G["fat"]
        + liquid.acid_g * KCAL_PER_G["acid"]
    )


def _ratio(above: float, below: float) -> float:
    return above / below if below > 1e-9 else _UNDEFINED


def _sugar_to_acid(liquid: Liquid) -> float:
    """Sugar for one part of acid; without bound where there may be no acid at all."""
    if liquid.acid_g <= 1e-9 and liquid.sugar_g > 1e-9:
        return math.inf
    return _ratio(liquid.sugar_g, liquid.acid_g)


def _estimate(
    name: str, value: float, low: float, high: float, unknowns: Sequence[Unknown]
) -> Estimate | None:
    if not math.isfinite(value):
        return None
    shrinking = _SHRUNK_BY.get(name, "")
    is_most = any(u.about == shrinking for u in unknowns)
    if is_most and any(u.about != shrinking for u in unknowns):
        return None
    least = low if name in _MAY_BE_NEGATIVE else max(0.0, low)
    # Each ingredient once.
    lacks = tuple(dict.fromkeys(u.ingredient for u in unknowns))
    is_open = any(u.about in _OPENED_BY.get(name, ()) for u in unknowns)
    if is_most and not is_open and name in _THINNED - _MAY_BE_NEGATIVE and high <= 0:
        # However much of it is thinned, none stays none.
        return Estimate(value, least, high)
    return Estimate(value, least, high, lacks, is_most, is_open)
