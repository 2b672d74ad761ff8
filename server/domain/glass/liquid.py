"""A liquid by what it is made of: parts add up by mass, volume and strength follow.

Volume of a drink that holds both ethanol and sugar: ethanol and water as the alcoholometric
tables have them, plus what the dissolved solids add to that much water (ICUMSA), plus fat, plus
whatever an ingredient's own measured density asks for on top. Exact for spirit and water and for
sugar and water; for both at once it assumes that the two contractions do not disturb each other.
The Tabarie formula for wine (OIV-MA-AS2-03B) assumes much the same: densities agree with it to
0.02 % up to 20 % vol, and to 0.7 % for liqueurs up to 40 % vol and 400 g/l.

>>> glass = total([plain_water(50.0, temp_c=20.0), plain_water(25.0, temp_c=80.0)])
>>> round(mass_g(glass), 1), round(temp_c(glass), 1)
(75.0, 40.0)
"""

from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import NamedTuple

from server.domain.base.crossing import falling_root
from server.domain.glass.alcohol import ETHANOL_G_PER_L, steam_of
from server.domain.glass.alcohol import volume_ml as ethanol_water_ml
from server.domain.glass.heat import (
    FAT_J_PER_GK,
    ICE_J_PER_GK,
    MELTING_J_PER_G,
    PROTEIN_J_PER_GK,
    WATER_J_PER_GK,
    ethanol_water_j_per_gk,
    freezing_point_c,
    sugar_freezing_k,
    syrup_j_per_gk,
)
from server.domain.glass.mixing_heat import Three, between, excesses_j_per_g
from server.domain.glass.sugar import WATER_G_PER_L, dissolved_ml

FAT_G_PER_ML = 0.92
"""Milk fat at 20 °C; typical of oils."""


class Liquid(NamedTuple):
    """What is in a vessel. `solids_g` are all that is dissolved but protein, sugar, acid and other
    carbohydrate among them; `acid_g` counts as citric acid; `apart_ml` is what the parts measured
    before mixing; heats are zero where no temperature is known, and `untold_g` is the mass of
    that; the excesses are the excess enthalpy of ethanol and water in the parts before mixing, at
    the three temperatures of `mixing_heat`. `iced_g` is what was blended into it as ice: it is
    among the water, and `heat_j` lacks what it takes to melt; `slush_of` tells how much of it is
    ice. `simple_g` is sugar that counts once more where it freezes, as glucose and fructose do."""

    water_g: float = 0.0
    ethanol_g: float = 0.0
    solids_g: float = 0.0
    protein_g: float = 0.0
    fat_g: float = 0.0
    extra_ml: float = 0.0
    apart_ml: float = 0.0
    sugar_g: float = 0.0
    carbohydrate_g: float = 0.0
    acid_g: float = 0.0
    caffeine_mg: float = 0.0
    cost: float = 0.0
    heat_j_per_k: float = 0.0
    heat_j: float = 0.0
    untold_g: float = 0.0
    excess_cool_j: float = 0.0
    excess_warm_j: float = 0.0
    excess_hot_j: float = 0.0
    iced_g: float = 0.0
    simple_g: float = 0.0


EMPTY = Liquid()


class Slush(NamedTuple):
    """Ice, and the liquid between it, at one temperature."""

    ice_g: float
    liquid: Liquid
    temp_c: float


_HEATS = Liquid._fields.index("heat_j_per_k")
"""From here on stand the heats, the untold mass, the excesses and what is of ice: what a
temperature changes. They are written by place, because a drink of many parts is warmed hundreds of
times."""

MOST_FROZEN = 0.98
"""Share of the water of a slush that can be ice (ours: no drink that is drunk comes near it)."""


def total(liquids: Iterable[Liquid]) -> Liquid:
    """Several liquids together; the empty liquid is among them."""
    return Liquid._make(map(sum, zip(EMPTY, *liquids, strict=True)))


def poured_together(one: Liquid, other: Liquid) -> Liquid:
    """Two liquids together."""
    return Liquid._make([a + b for a, b in zip(one, other, strict=True)])


def changed(whole: Liquid, out: Liquid, put_in: Liquid) -> Liquid:
    """`whole` with one part of it replaced by another."""
    return Liquid._make([a - b + c for a, b, c in zip(whole, out, put_in, strict=True)])


def all_changed(whole: Liquid, parts: Sequence[tuple[Liquid, Liquid]]) -> Liquid:
    """`whole` with several parts of it replaced: (what goes out, what comes in its place)."""
    if len(parts) == 1:
        return changed(whole, *parts[0])
    outs, ins = zip(*parts, strict=True)
    columns = zip(whole, zip(*outs, strict=True), zip(*ins, strict=True), strict=True)
    return Liquid._make([a - sum(out) + sum(put_in) for a, out, put_in in columns])


def scaled(liquid: Liquid, factor: float) -> Liquid:
    """So many times a liquid."""
    return Liquid._make([part * factor for part in liquid])


def plain_water(mass_g: float, temp_c: float | None = None) -> Liquid:
    """Water, with its heat where a temperature is given."""
    water = Liquid(water_g=mass_g, apart_ml=1000 * mass_g / WATER_G_PER_L)
    return water if temp_c is None else warmed(water, temp_c)


def steam_off(liquid: Liquid, steam_g: float, is_even: bool = False) -> Liquid:
    """What so much steam takes along: as strong as the vapour over it, or `is_even` as itself."""
    boils_g = liquid.water_g + liquid.ethanol_g
    off_g = min(steam_g, boils_g)
    even = off_g / boils_g if boils_g > 0 else 0.0
    ethanol_g, water_g = liquid.ethanol_g * even, liquid.water_g * even
    if not is_even:
        ethanol_g, water_g = steam_of(liquid.ethanol_g, liquid.water_g, off_g)
    apart_ml = 1000 * (ethanol_g / ETHANOL_G_PER_L + water_g / WATER_G_PER_L)
    return Liquid(water_g=water_g, ethanol_g=ethanol_g, apart_ml=apart_ml)


def mass_g(liquid: Liquid) -> float:
    """Mass of a liquid."""
    return sum(liquid[:5])


def volume_ml(liquid: Liquid) -> float:
    """Volume at 20 °C, contraction counted."""
    water_g, ethanol_g, solids_g, protein_g, fat_g, extra_ml = liquid[:6]
    return (
        ethanol_water_ml(ethanol_g, water_g)
        + dissolved_ml(solids_g + protein_g, water_g)
        + fat_g / FAT_G_PER_ML
        + extra_ml
    )


def ethanol_ml(liquid: Liquid) -> float:
    """Volume that its ethanol would have alone at 20 °C: what % vol is counted in."""
    return 1000 * liquid.ethanol_g / ETHANOL_G_PER_L


def ethanol_fraction(liquid: Liquid) -> float:
    """Mass fraction of ethanol in its ethanol and water."""
    both_g = liquid.ethanol_g + liquid.water_g
    return liquid.ethanol_g / both_g if both_g > 0 else 0.0


def capacity_j_per_k(liquid: Liquid, temp_c: float) -> float:
    """Heat that takes it up by one degree: ethanol and water as fitted, the rest by parts."""
    both_g = liquid.water_g + liquid.ethanol_g
    if liquid.ethanol_g > 0:
        wet_j_per_gk = ethanol_water_j_per_gk(liquid.ethanol_g / both_g, temp_c)
    else:
        wet_j_per_gk = WATER_J_PER_GK
    return (
        both_g * wet_j_per_gk
        + liquid.solids_g * syrup_j_per_gk(100.0, temp_c)
        + liquid.protein_g * PROTEIN_J_PER_GK
        + liquid.fat_g * FAT_J_PER_GK
    )


def unmixed(liquid: Liquid) -> Liquid:
    """A liquid as it comes: one thing, whose temperature nobody has told yet."""
    excesses = _own_excess_j(liquid)
    return Liquid._make((*liquid[:_HEATS], 0.0, 0.0, mass_g(liquid), *excesses, 0.0, 0.0))


def told(liquid: Liquid, temp_c: float) -> Liquid:
    """A liquid as it comes, now that its temperature is told."""
    heat_j_per_k = capacity_j_per_k(liquid, temp_c)
    excesses = liquid[_HEATS + 3 :]
    return Liquid._make((*liquid[:_HEATS], heat_j_per_k, heat_j_per_k * temp_c, 0.0, *excesses))


def warmed(liquid: Liquid, temp_c: float) -> Liquid:
    """The same liquid at another temperature, its parts mixed through and none of it ice."""
    heat_j_per_k = capacity_j_per_k(liquid, temp_c)
    heat_j = heat_j_per_k * temp_c
    excesses, simple_g = _own_excess_j(liquid), liquid.simple_g
    return Liquid._make((*liquid[:_HEATS], heat_j_per_k, heat_j, 0.0, *excesses, 0.0, simple_g))


def temp_c(liquid: Liquid) -> float | None:
    """Its temperature by the heat of its parts and of their mixing; None where none is known.

    Of a slush it is where the liquid between the ice begins to freeze.
    """
    if liquid.heat_j_per_k <= 0:
        return None
    return slush_of(liquid).temp_c if liquid.iced_g > 0 else thawed_c(liquid)


def thawed_c(liquid: Liquid) -> float:
    """Its temperature were all its ice melted by nothing but its own heat, if that is known."""
    apart_c = liquid.heat_j / liquid.heat_j_per_k
    if liquid.ethanol_g <= 0:
        return apart_c
    return apart_c + freed_j(liquid, apart_c) / capacity_j_per_k(liquid, apart_c)


def mixing_k(liquid: Liquid) -> float:
    """By how much its ethanol and water warmed each other as they were poured together."""
    mixed_c = temp_c(liquid)
    return 0.0 if mixed_c is None else mixed_c - liquid.heat_j / liquid.heat_j_per_k


def freed_j(liquid: Liquid, at_c: float) -> float:
    """Heat that its parts set free (below 0: take up) as they mix at a temperature."""
    cool_j, warm_j, hot_j = _own_excess_j(liquid)
    return between(
        (
            liquid.excess_cool_j - cool_j,
            liquid.excess_warm_j - warm_j,
            liquid.excess_hot_j - hot_j,
        ),
        at_c,
    )


def barely_warming(liquid: Liquid, share: float) -> Liquid:
    """The same liquid, of whose heat of mixing only a share comes."""
    own = _own_excess_j(liquid)
    apart = (liquid.excess_cool_j, liquid.excess_warm_j, liquid.excess_hot_j)
    cool_j, warm_j, hot_j = (
        own_j + share * (apart_j - own_j) for own_j, apart_j in zip(own, apart, strict=True)
    )
    return liquid._replace(excess_cool_j=cool_j, excess_warm_j=warm_j, excess_hot_j=hot_j)


def _own_excess_j(liquid: Liquid) -> Three:
    """Excess enthalpy of its ethanol and water as one mixture."""
    if liquid.ethanol_g <= 0:
        return 0.0, 0.0, 0.0
    cool, warm, hot = excesses_j_per_g(ethanol_fraction(liquid))
    both_g = liquid.ethanol_g + liquid.water_g
    return cool * both_g, warm * both_g, hot * both_g


def freezes_at_c(liquid: Liquid) -> float:
    """Where it begins to freeze: what its ethanol and what its sugar do, added up."""
    return freezing_point_c(ethanol_fraction(liquid)) - sugar_freezing_k(
        liquid.sugar_g + liquid.simple_g, liquid.water_g
    )


def ice(mass_g: float, ice_c: float) -> Liquid:
    """Ice that goes into a drink and stays in it: water whose heat lacks what it takes to melt."""
    heat_j = mass_g * (ICE_J_PER_GK * ice_c - MELTING_J_PER_G)
    water = plain_water(mass_g)
    return water._replace(heat_j_per_k=mass_g * WATER_J_PER_GK, heat_j=heat_j, iced_g=mass_g)


# Several figures of one drink ask for the same.
@lru_cache(maxsize=512)
def slush_of(liquid: Liquid) -> Slush:
    """How much of what ice was blended into is ice: as much as leaves the rest just freezing.

    Mass and heat are kept. The more is ice, the stronger, sweeter and warmer is the rest: one
    crossing.
    """
    if thawed_c(liquid) >= freezes_at_c(liquid):
        return Slush(0.0, liquid, thawed_c(liquid))

    def too_cold_k(ice_g: float) -> float:
        between_ice = _between_ice(liquid, ice_g)
        return freezes_at_c(between_ice) - thawed_c(between_ice)

    ice_g = falling_root(too_cold_k, 0.0, MOST_FROZEN * liquid.water_g)
    between_ice = _between_ice(liquid, ice_g)
    return Slush(ice_g, between_ice, freezes_at_c(between_ice))


def _between_ice(liquid: Liquid, ice_g: float) -> Liquid:
    """What is left without so much ice at its freezing point."""
    left = liquid._replace(water_g=liquid.water_g - ice_g, iced_g=0.0)
    taken = ice(ice_g, freezes_at_c(left))
    return left._replace(
        heat_j_per_k=left.heat_j_per_k - taken.heat_j_per_k,
        heat_j=left.heat_j - taken.heat_j,
        apart_ml=left.apart_ml - taken.apart_ml,
    )
