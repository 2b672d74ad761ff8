"""How much alcohol one taster has in all, from what is in the glass; whoever spits has less.

How many standard drinks anybody may have no formula says: the limit is the host's own.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from server.domain.base.errors import CannotTell
from server.domain.glass.alcohol import STANDARD_DRINK_G, Definition
from server.domain.glass.balance import balance
from server.domain.glass.figures import Estimate
from server.domain.routine.drink import Drink


@dataclass(frozen=True)
class AlcoholEach:
    """Alcohol of one taster if all is swallowed: grams, and standard drinks at the most.

    `unknown` names drinks whose alcohol, or part of it, cannot be told.
    """

    ethanol_g: float
    drinks: float
    unknown: tuple[str, ...]

    def most_ml(self, glass_ml: float, most_drinks: float) -> float:
        """The largest glass that stays within a limit, ml; as much as wanted without alcohol."""
        return glass_ml if self.drinks <= most_drinks else glass_ml * most_drinks / self.drinks


def no_less(amount: float) -> float:
    """An amount of alcohol to one decimal, never below what it is: told as the most, it holds.

    >>> no_less(0.147), no_less(0.3), no_less(0.0)
    (0.2, 0.3, 0.0)
    """
    # The millionth part takes away what binary fractions add.
    return math.ceil(round(amount * 10, 6)) / 10


def alcohol_each(
    glasses: Sequence[tuple[Drink, int]], glass_ml: float, definition: Definition
) -> AlcoholEach:
    """The alcohol in so many glasses of each drink, by the upper end of what may be in them."""
    grams, unknown = 0.0, []
    for drink, count in glasses:
        per_ml = _g_per_ml(drink, definition)
        if per_ml is None or per_ml.lacks:
            unknown.append(drink.name)
        grams += 0.0 if per_ml is None else count * glass_ml * per_ml.high
    drinks = grams / STANDARD_DRINK_G[definition]
    return AlcoholEach(grams, drinks, tuple(dict.fromkeys(unknown)))


def _g_per_ml(drink: Drink, definition: Definition) -> Estimate | None:
    """Grams of alcohol in a ml of a drink; None where that cannot be told."""
    try:
        serve = balance(drink, definition).serve
    except CannotTell:
        return None
    if serve.ethanol_g is None:
        return Estimate(0.0, 0.0, 0.0)
    if serve.volume_ml is None or serve.volume_ml.low <= 0:
        return None
    return serve.ethanol_g.times(1 / serve.volume_ml.value)
