"""Amounts of the water that something is brewed with: "brewed with 480 ml of water".

Such an amount is the brew's, whatever else of the recipe is called a water too. English.

>>> from server.domain.base.tokens import tokens_of
>>> tokens = tokens_of("brewed with four hundred of boiling water")
>>> is_plain_water(tokens, 5, 7), is_plain_water(tokens_of("of soda water"), 1, 3)
(True, False)
"""

from collections.abc import Sequence

from server.domain.base.tokens import Token, tokens_kept
from server.domain.claims.backing import Judgement
from server.domain.claims.compare_amounts import amount_judged, said_amount, within
from server.domain.claims.finds import Find
from server.domain.glass.brew import brewed
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.tolerance import Tolerance

BREW_WATER = "brewing water"
"""What an amount of it is said to be of."""

BREWS = frozenset(
    {
        "brew", "brewed", "brewing", "brews", "steep", "steeped", "steeping", "steeps", "kettle",
        "grounds", "beans", "immersion", "bloom", "infuse", "infused", "extraction", "teapot",
        "dripper", "coffee", "tea",
    }
)  # fmt: skip
"""Beside one of these in its sentence, water is what something is brewed with."""

_HOW = frozenset(
    {
        "hot", "boiling", "boiled", "just", "off", "the", "filtered", "filter", "fresh", "clean",
        "soft", "hard", "cold", "warm", "brewing", "brew", "spring", "mineral", "bottled", "tap",
        "room", "temperature", "near", "nearly", "plain", "good", "our", "my", "that", "this",
        "same", "kettle",
    }
)  # fmt: skip
"""What water may be called and still be no other thing than water."""

_OTHERS = frozenset({"ice", "top", "topped", "syrup", "dilute", "diluted", "dilution", "melt"})
"""Beside one of these water is more likely that of the glass or of a syrup."""

_IN_THE_GLASS = frozenset(
    {
        "tin", "tins", "shaker", "glass", "glasses", "tumbler", "coupe", "highball", "jigger",
        "mixing", "soda", "sparkling", "bubbles", "fizz", "splash", "float", "lengthen", "long",
        "finish", "over", "ice-cold",
    }
)  # fmt: skip
"""Beside one of these, and no word of brewing, water is one that goes into the glass."""


def is_plain_water(tokens: Sequence[Token], first: int, end: int) -> bool:
    """Whether these words name water and nothing that is more than water."""
    words = [token.norm for token in tokens[first:end]]
    return words[-1:] == ["water"] and all(word in _HOW for word in words[:-1])


def speaks_of_brewing(
    tokens: Sequence[Token], span: tuple[int, int], has_brew: bool = False
) -> bool:
    """Whether a sentence (first token, end) tells of brewing, and of no other use of water.

    `has_brew` tells whether something is brewed: then plain water is taken for that, whatever else
    is said of it.
    """
    words = {token.norm for token in tokens[span[0] : span[1]]}
    brews = bool(words & BREWS) or (has_brew and not words & _IN_THE_GLASS)
    return brews and not words & _OTHERS


def brew_water_judged(find: Find, drinks: Sequence[Drink], tolerance: Tolerance) -> Judgement:
    """The state of an amount of brewing water: against the water of the brews.

    Its volume counts as its mass: 1 ml as 1 g (hot water has 4 % less; NIST Chemistry WebBook, from
    memory).
    """
    parts = [part for drink in drinks for part in drink.ingredients]
    waters = [part.id for part in parts if _is_water(part)]
    said = f"You say {said_amount(find)} of water"
    if waters:
        judged = amount_judged(find, drinks, waters, tolerance)
        if judged.state == "backed":
            return judged
    grams = said_grams(find)
    known = [(part, brewed(part.brew).water_g) for part in parts if part.brew is not None]
    held = [(part, mass) for part, mass in known if mass is not None]
    if grams is None or not held:
        why = f"{said}; how much water the brew takes is not on record."
        return Judgement("unbacked", why, is_checked=False)
    for part, mass in held:
        if within(find, grams, (mass.low, mass.high), tolerance.amount_ratio * mass.high):
            why = f"{said}; {mass.value:.0f} g is the water of {part.name}"
            return Judgement("backed", f"{why}, within {tolerance.amount_percent:g} %.")
    if len(held) < len(known) or len(held) > 1:
        return Judgement("unbacked", f"{said}; no brew takes that much.", is_checked=False)
    part, mass = held[0]
    why = f"{said}, the water of {part.name} is {mass.value:.0f} g"
    return Judgement("contradicted", f"{why}: more than {tolerance.amount_percent:g} % off.")


def lists_water(drinks: Sequence[Drink]) -> bool:
    """Whether the recipe has a water of its own."""
    return any(_is_water(part) for drink in drinks for part in drink.ingredients)


def said_grams(find: Find) -> tuple[float, float] | None:
    """What an amount is in g, water's volume as its mass; None in another unit."""
    one = {"g": 1.0, "kg": 1000.0, "ml": 1.0, "cl": 10.0, "l": 1000.0}.get(find.unit)
    return None if one is None else ((find.low or 0.0) * one, (find.high or 0.0) * one)


def _is_water(part: Ingredient) -> bool:
    kind = part.substance.kind if part.substance is not None else ""
    return kind == "water" or any(token.norm == "water" for token in tokens_kept(part.name))
