"""How the numbers of a drink are read out: their words, units and decimals, alone and compared."""

from dataclasses import dataclass

from server.domain.glass.figures import Estimate
from server.domain.glass.totals import Totals


@dataclass(frozen=True)
class Number:
    """A number of `Totals`: its words, its unit, and how many decimals it deserves."""

    name: str
    words: str
    unit: str
    decimals: int


NUMBERS = (
    Number("volume_ml", "Volume", "ml", 0),
    Number("mass_g", "Mass", "g", 0),
    Number("abv_percent", "Strength", "% vol", 1),
    Number("abv_additive_percent", "Strength by the additive rule", "% vol", 1),
    Number("contraction_ml", "Contraction", "ml", 1),
    Number("ethanol_g", "Ethanol", "g", 1),
    Number("standard_drinks", "Standard drinks", "", 1),
    Number("sugar_g", "Sugar", "g", 1),
    Number("sugar_g_per_l", "Sugar", "g/l", 0),
    Number("brix", "Brix", "°Bx", 1),
    Number("acid_g", "Acid, as citric", "g", 2),
    Number("acid_g_per_l", "Acid, as citric", "g/l", 1),
    Number("sugar_to_acid", "Sugar to acid", ": 1", 1),
    Number("energy_kcal", "Energy", "kcal", 0),
    Number("caffeine_mg", "Caffeine", "mg", 0),
    Number("cost", "Cost", "", 2),
    Number("temp_c", "Temperature as mixed", "°C", 0),
)
"""In the order in which a page shows them."""


@dataclass(frozen=True)
class Comparison:
    """A number in two versions of a drink, and the second less the first.

    `is_clear` says that their ranges do not overlap: the difference is more than doubt.
    """

    number: Number
    first: Estimate | None
    second: Estimate | None
    difference: float | None
    is_clear: bool


def comparisons(first: Totals, second: Totals) -> tuple[Comparison, ...]:
    """Every number of two versions side by side."""
    return tuple(
        _comparison(number, getattr(first, number.name), getattr(second, number.name))
        for number in NUMBERS
    )


def _comparison(number: Number, first: Estimate | None, second: Estimate | None) -> Comparison:
    if first is None or second is None:
        return Comparison(number, first, second, None, False)
    apart = first.high < second.low or second.high < first.low
    whole = first.is_whole and second.is_whole
    return Comparison(number, first, second, second.value - first.value, apart and whole)
