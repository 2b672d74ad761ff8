"""What a taster must know of a glass before the first sip: allergens, and alcohol."""

from collections.abc import Sequence
from dataclasses import dataclass

from server.domain.glass.alcohol import Definition
from server.domain.glass.allergens import ALLERGEN_WORDS, in_order
from server.domain.glass.balance import Balance, balance
from server.domain.glass.cautions import cautions, for_who_drinks
from server.domain.routine.drink import Drink
from server.domain.routine.named_hazards import hazards_of_drink
from server.domain.tasters.alcohol_each import AlcoholEach, alcohol_each, no_less
from server.domain.tasters.sitting import Kind, Sitting
from server.web.frame.filters import decimal
from server.web.frame.telling import told

OF_ANY_SIP = ("raw_egg", "very_hot")
"""Cautions that hold for a sip as for a serve."""

LEAST_G = 0.1
"""Less alcohol than this in all is called none: fruit juice holds as much."""


@dataclass(frozen=True)
class InGlass:
    """What is told before the first sip; `unknown` are ingredients nobody has read the label of."""

    allergens: tuple[str, ...]
    unknown: tuple[str, ...]
    alcohol: str
    may_hold_alcohol: bool
    cautions: tuple[str, ...]


def in_glass(sitting: Sitting) -> InGlass:
    """What is in the glasses of one taster, over all versions: which is which is not told."""
    known = [_balance(drink) for drink in sitting.drinks]
    found = [each for each in known if each is not None]
    unknown = [name for each in found for name in each.allergens_doubted]
    unknown += ["the whole drink" for each in known if each is None]
    alcohol = alcohol_of(sitting.drinks, sitting.kind, sitting.pour.glass_ml, sitting.definition)
    told_of = [
        caution for drink in sitting.drinks for caution in for_who_drinks(hazards_of_drink(drink))
    ]
    told_of += [each for one in found for each in cautions(one) if each.code in OF_ANY_SIP]
    return InGlass(
        allergens=tuple(
            ALLERGEN_WORDS[each]
            for each in in_order({one for each in found for one in each.allergens})
        ),
        unknown=tuple(dict.fromkeys(unknown)),
        alcohol=_alcohol_words(alcohol),
        may_hold_alcohol=alcohol.ethanol_g >= LEAST_G or bool(alcohol.unknown),
        cautions=tuple(dict.fromkeys(each.alone for each in told_of)),
    )


def alcohol_of(
    drinks: Sequence[Drink], kind: Kind, glass_ml: float, definition: Definition
) -> AlcoholEach:
    """The most alcohol that one taster can get: in a triangle two glasses may be of either."""
    counts = [[1] * len(drinks)] if kind != "triangle" else [[2, 1], [1, 2]]
    found = [
        alcohol_each(tuple(zip(drinks, each, strict=True)), glass_ml, definition) for each in counts
    ]
    return max(found, key=lambda each: each.ethanol_g)


def _balance(drink: Drink) -> Balance | None:
    made, _ = told(f"What is in “{drink.name}”", lambda: balance(drink))
    return made


def _alcohol_words(alcohol: AlcoholEach) -> str:
    if alcohol.unknown and alcohol.ethanol_g < LEAST_G:
        return "Whether it holds alcohol is not known."
    if alcohol.ethanol_g < LEAST_G:
        return "No alcohol, as far as the recipe tells."
    least = "at least " if alcohol.unknown else "at most "
    return (
        f"Alcohol: {least}{decimal(no_less(alcohol.ethanol_g), 1)} g for you in all, "
        f"{decimal(no_less(alcohol.drinks), 1)} of a standard drink."
    )
