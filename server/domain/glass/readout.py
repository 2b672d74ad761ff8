"""How the numbers of a drink are read out: their words, units and decimals, alone and compared."""

from dataclasses import dataclass

from server.domain.glass.figures import Estimate
from server.domain.glass.totals import Totals


@dataclass(frozen=True)
class TotalsNumber:
    """A number of `Totals`: its words, its unit, and how many decimals it deserves."""

    name: str
    words: str
    unit: str
    decimals: int


NUMBERS = (
    TotalsNumber("volume_ml", "Volume", "ml", 0),
    TotalsNumber("mass_g", "Mass", "g", 0),
    TotalsNumber("abv_percent", "Strength", "% vol", 1),
    TotalsNumber("abv_additive_percent", "Strength by the additive rule", "% vol", 1),
    TotalsNumber("contraction_ml", "Contraction", "ml", 1),
    TotalsNumber("ethanol_g", "Ethanol", "g", 1),
    TotalsNumber("standard_drinks", "Standard drinks", "", 1),
    TotalsNumber("sugar_g", "Sugar", "g", 1),
    TotalsNumber("sugar_g_per_l", "Sugar", "g/l", 0),
    TotalsNumber("brix", "Brix", "°Bx", 1),
    TotalsNumber("acid_g", "Acid, as citric", "g", 2),
    TotalsNumber("acid_g_per_l", "Acid, as citric", "g/l", 1),
    TotalsNumber("sugar_to_acid", "Sugar to acid", ": 1", 1),
    TotalsNumber("energy_kcal", "Energy", "kcal", 0),
    TotalsNumber("caffeine_mg", "Caffeine", "mg", 0),
    TotalsNumber("cost", "Cost", "", 2),
    TotalsNumber("temp_c", "Temperature as mixed", "°C", 0),
    TotalsNumber("ice_g", "Ice left in it", "g", 0),
    TotalsNumber("slush_ml", "Volume with its ice", "ml", 0),
    TotalsNumber("liquid_abv_percent", "Strength between the ice", "% vol", 1),
)
"""In the order in which a page shows them."""


@dataclass(frozen=True)
class FigureComparison:
    """A number in two versions of a drink, and the second less the first.

    `is_clear` says that their ranges do not overlap: the difference is more than doubt.
    """

    number: TotalsNumber
    first: Estimate | None
    second: Estimate | None
    difference: float | None
    is_clear: bool


def comparisons(first: Totals, second: Totals) -> tuple[FigureComparison, ...]:
    """Every number of two versions side by side."""
    return tuple(
        _comparison(number, getattr(first, number.name), getattr(second, number.name))
        for number in NUMBERS
    )


def _comparison(
    number: TotalsNumber, first: Estimate | None, second: Estimate | None
) -> FigureComparison:
    if first is None or second is None:
        return FigureComparison(number, first, second, None, False)
    apart = first.is_apart_from(second)
    return FigureComparison(number, first, second, second.value - first.value, apart)
