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
from typing import NamedTuple

from server.domain.glass.alcohol import ETHANOL_G_PER_L, steam_of
from server.domain.glass.alcohol import volume_ml as ethanol_water_ml
from server.domain.glass.heat import (
    FAT_J_PER_GK,
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

KCAL_PER_G = {
    "ethanol": 7.0, "sugar": 4.0, "carbohydrate": 4.0, "protein": 4.0, "fat": 9.0, "acid": 3.0,
}  # fmt: skip
"""Conversion factors of Regulation (EU) No 1169/2011, Annex XIV. Tables with 7.1 kcal for ethanol
(as it burns: 6.93 to 7.1) differ by 1.5 %."""


class Liquid(NamedTuple):
    """What is in a vessel. `solids_g` are all that is dissolved but protein, sugar, acid and other
    carbohydrate among them; `acid_g` counts as citric acid; `apart_ml` is what the parts measured
    before mixing; heats are zero where no temperature is known, and `untold_g` is the mass of
    that; the excesses are the excess enthalpy of ethanol and water in the parts before mixing, at
    the three temperatures of `mixing_heat`."""

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


EMPTY = Liquid()

_HEATS = Liquid._fields.index("heat_j_per_k")
"""From here on stand the heats, the untold mass and the excesses: what a temperature changes. They
are written by place, because a drink of many parts is warmed hundreds of times."""


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
    return Liquid._make((*liquid[:_HEATS], 0.0, 0.0, mass_g(liquid), *_own_excess_j(liquid)))


def told(liquid: Liquid, temp_c: float) -> Liquid:
    """A liquid as it comes, now that its temperature is told."""
    heat_j_per_k = capacity_j_per_k(liquid, temp_c)
    excesses = liquid[_HEATS + 3 :]
    return Liquid._make((*liquid[:_HEATS], heat_j_per_k, heat_j_per_k * temp_c, 0.0, *excesses))


def warmed(liquid: Liquid, temp_c: float) -> Liquid:
    """The same liquid at another temperature, its parts mixed through."""
    heat_j_per_k = capacity_j_per_k(liquid, temp_c)
    excesses = _own_excess_j(liquid)
    return Liquid._make((*liquid[:_HEATS], heat_j_per_k, heat_j_per_k * temp_c, 0.0, *excesses))


def temp_c(liquid: Liquid) -> float | None:
    """Its temperature by the heat of its parts and of their mixing; None where none is known."""
    if liquid.heat_j_per_k <= 0:
        return None
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
        liquid.sugar_g, liquid.water_g
    )
