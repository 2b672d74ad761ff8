"""Syrups by recipe: parts of sugar, water and juice, by mass or by volume, worked out to Brix.

>>> round(syrup_brix(Syrup(sugar=1, water=1)), 2), round(syrup_brix(Syrup(sugar=2, water=1)), 2)
(50.0, 66.67)
>>> round(syrup_brix(Syrup(sugar=1, water=1, by="volume")), 1)
45.8
"""

from dataclasses import dataclass, replace
from typing import Annotated, Literal, NamedTuple

from server.domain.base.documents import Document
from server.domain.base.errors import Fault, refuse_if
from server.domain.base.limits import Between, limit_faults
from server.domain.glass.figures import Content, Estimate, Figure
from server.domain.glass.substance import Substance
from server.domain.glass.sugar import (
    GRANULATED_G_PER_ML,
    SATURATION_BRIX_5_C,
    SATURATION_BRIX_20_C,
    WATER_G_PER_L,
    brix_of_mix,
    density_g_per_l,
)

SyrupBy = Literal["mass", "volume", "grams"]

USUAL_HELD_G_PER_G = Figure(1.0, 0.3, 2.5, source="common practice, no source")
"""Syrup kept by what is strained out: soft fruit gives juice back, dry husks and tea swell."""

Parts = Annotated[float, Between(0, 100_000, "Parts of a syrup are 0 or more.")]


@dataclass(frozen=True)
class Syrup(Document):
    """A syrup's recipe, in parts or in grams; evaporation is neglected.

    `solids` (fruit, leaves, husks) are strained out again and keep some of the syrup. In grams
    (`by` "grams", parts by mass with a size) it also says how much one cooking yields.
    """

    sugar: Parts
    water: Parts = 0.0
    juice: Parts = 0.0
    by: SyrupBy = "mass"
    bulk_g_per_ml: Annotated[float, Between(0.3, 1.6, "Dry sugar weighs 0.3 to 1.6 g per ml.")] = (
        GRANULATED_G_PER_ML
    )
    """What a millilitre of the dry sugar weighs; only asked by volume."""
    juice_brix: Annotated[float, Between(0, 100, "Sugar lies between 0 and 100 Brix.")] = 10.0
    """Sugar of the juice, g in 100 g."""
    juice_acid_percent: Annotated[
        float, Between(0, 100, "Acid lies between 0 and 100 g in 100 g.")
    ] = 0.0
    """Acid of the juice, g in 100 g as citric acid."""
    solids: Parts = 0.0
    """What is steeped or cooked in it and strained out, by mass."""
    held_g_per_g: (
        Annotated[float, Between(0, 10, "A gram of solids keeps 0 to 10 g of syrup.")] | None
    ) = None
    """Grams of syrup that a gram of it keeps; None for what is usual."""

    def __post_init__(self) -> None:
        refuse_if(self._faults())

    def _faults(self) -> list[Fault]:
        faults = limit_faults(self)
        if not faults and (self.sugar == 0 or self.water + self.juice == 0):
            faults.append(Fault("sugar", "A syrup needs sugar, and water or juice."))
        return faults

    @property
    def held(self) -> Figure:
        """Grams of syrup that a gram of the solids keeps: as weighed, or as is usual."""
        return USUAL_HELD_G_PER_G if self.held_g_per_g is None else Figure(self.held_g_per_g)


class SyrupMasses(NamedTuple):
    """What goes into a syrup, g."""

    sugar_g: float
    water_g: float
    juice_g: float


def syrup_masses(syrup: Syrup) -> SyrupMasses:
    """Grams of sugar, water and juice for the parts (by volume: parts in ml)."""
    if syrup.by != "volume":
        return SyrupMasses(syrup.sugar, syrup.water, syrup.juice)
    return SyrupMasses(
        syrup.sugar * syrup.bulk_g_per_ml,
        syrup.water * WATER_G_PER_L / 1000,
        syrup.juice * density_g_per_l(syrup.juice_brix) / 1000,
    )


def syrup_brix(syrup: Syrup) -> float:
    """Grams of sugar in 100 g of the finished syrup, the juice's own sugar counted."""
    dry_g, water_g, juice_g = syrup_masses(syrup)
    juice_sugar_g = juice_g * syrup.juice_brix / 100
    return brix_of_mix(dry_g + juice_sugar_g, water_g + juice_g - juice_sugar_g)


def syrup_range(syrup: Syrup) -> Estimate:
    """The same with how sure it is: dry sugar by volume is filled more or less loosely (ours)."""
    brix = syrup_brix(syrup)
    spread = 1.5 if syrup.by == "volume" else 0.2
    return Estimate(brix, max(0.0, brix - spread), min(100.0, brix + spread))


def syrup_yield_ml(syrup: Syrup) -> float:
    """Volume (20 °C) of the finished syrup, before anything is strained out; less than that of
    sugar and water apart."""
    return 1000 * sum(syrup_masses(syrup)) / density_g_per_l(syrup_brix(syrup))


def strained_yield_ml(syrup: Syrup) -> Estimate:
    """What comes through the sieve, where there are solids; else the whole.

    The solids keep their share by mass. Nothing comes through where they keep all of it.
    """
    whole_g, whole_ml = sum(syrup_masses(syrup)), syrup_yield_ml(syrup)
    likely, low, high = (
        whole_ml * max(0.0, 1 - held * syrup.solids / whole_g)
        for held in (syrup.held.value, syrup.held.most, syrup.held.least)
    )
    return Estimate(likely, low, high)


def syrup_substance(syrup: Syrup, base: Substance | None = None) -> Substance:
    """The syrup as an ingredient. What `base` says besides (temperature, cost, allergens) stays."""
    masses = syrup_masses(syrup)
    acid_g = 100 * masses.juice_g * syrup.juice_acid_percent / 100 / sum(masses)
    sugar = syrup_range(syrup)
    return replace(
        base or Substance(kind="syrup", temp_c=Figure(20.0)),
        kind="syrup",
        sugar=Content(sugar.value, sugar.low, sugar.high, "recipe", per="100 g"),
        acid=Content(acid_g, source="recipe", per="100 g"),
    )


def syrup_warning(syrup: Syrup) -> str:
    """What to say of a syrup that holds more sugar than cold water keeps; empty if none."""
    brix = syrup_brix(syrup)
    if brix > SATURATION_BRIX_20_C + 0.05:
        return "More sugar than water keeps dissolved at 20 °C: it will crystallise."
    if brix > SATURATION_BRIX_5_C + 0.05:
        return "Close to saturation: it may crystallise in the fridge (64.9 Brix at 5 °C)."
    return ""
