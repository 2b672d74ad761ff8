"""Bare numbers that a listener who knows the recipe understands, though they may differ from it.

"Two hundred and ten of kombucha" is told in the unit the recipe has it in, "water, eight hundred"
and "for the shot I use nineteen" in the grams of the brew, and "the jug holds four" in serves.
What counts through ("component two", "on a scale of five") is no quantity at all. English.
"""

from collections.abc import Collection, Iterable, Mapping, Sequence

from server.domain.base.tokens import Token, tokens_kept
from server.domain.claims.quantities import Quantity
from server.domain.claims.said_numbers import SaidNumber
from server.domain.claims.spoken.bare import Bare, ends, norms
from server.domain.claims.spoken.bounds import bound_of
from server.domain.claims.spoken.by_recipe import RecipeValue
from server.domain.glass.brew import Brew
from server.domain.routine.drink import Drink

_NUMBERED = frozenset(
    {
        "component", "components", "lot", "lots", "number", "step", "part", "phase", "course",
        "act", "round", "chapter", "item", "rule", "question", "section", "point", "table",
        "specimen", "stratum", "position", "bottle", "force", "layer", "exhibit", "station",
        "stage", "movement", "thing", "scene", "slide", "oh",
    }
)  # fmt: skip
"""Before a number these count things through: "component two"."""

_MOST_HEADINGS = 12
_SCALES = (("scale", "of"), ("scale", "to"))

LEAST_MEASURED = 10.0
"""Fewer "of" something may be pieces of it: "three of the plums"."""

_MEASURES = frozenset({"ml", "cl", "g"})
_SERVED = frozenset({"for", "holds", "serves", "makes", "feeds", "between"})
_DOSED = frozenset(
    {"dose", "shot", "basket", "grounds", "beans", "coffee", "espresso", "portafilter"}
)
_USED = frozenset({"use", "used", "using", "dose", "grind", "weigh", "put", "in", "at"})

_ON = frozenset({"to", "in", "into", "per", "on"})
"""Between a dose and its water: "twenty-four grams to 360"."""
_YIELDS = frozenset({"extract", "yield", "yields", "out", "pull"})
_YIELDS_AT = frozenset(
    {
        ("stop", "at"),
        ("stopping", "at"),
        ("run", "to"),
        ("i", "take"),
        ("i", "get"),
        ("comes", "to"),
    }
)


def counts_through(tokens: Sequence[Token], number: SaidNumber) -> bool:
    """Whether a number only tells which one of several is meant, or where a scale ends."""
    before = [token.norm for token in tokens[max(0, number.first - 2) : number.first]]
    begins = not before or bool(set(tokens[number.first].gap) & set(".!?\n"))
    if begins and number.value <= _MOST_HEADINGS and number.end < len(tokens):
        # "Four: spruce tip syrup."
        return ":" in tokens[number.end].gap
    if not before or tokens[number.first].gap.strip("-"):
        return False
    return before[-1] in _NUMBERED or tuple(before) in _SCALES


def in_a_name(
    tokens: Sequence[Token], numbers: Iterable[SaidNumber], drinks: Sequence[Drink]
) -> set[int]:
    """First tokens of numbers that are of a drink's own name: "this is called Seven Threads"."""
    names = [[token.norm for token in tokens_kept(drink.name)] for drink in drinks]
    return {
        number.first
        for number in numbers
        for name in names
        if number.first > 0
        and tokens[number.first - 1].norm in _CALLS
        and len(name) > number.end - number.first
        and [token.norm for token in tokens[number.first : number.first + len(name)]] == name
        and not {token.norm for token in tokens[number.first + len(name) :][:1]} & {"of", "in"}
    }


_CALLS = frozenset({"is", "called", "named", "it's", "name", "as", "drink", "this"})


def of_the_recipe(
    bare: Bare, known: Mapping[str, Sequence[RecipeValue]], drinks: Sequence[Drink]
) -> list[Quantity]:
    """The bare numbers of a sentence that such words give a unit, in order."""
    if bare.lang.code != "en":
        return []
    brews = [part.brew for drink in drinks for part in drink.ingredients if part.brew is not None]
    serves = {drink.serves for drink in drinks}
    found = []
    for number in bare.numbers:
        quantity = (
            _of_a_part(bare, number, known)
            or _behind_a_name(bare, number, known)
            or _of_a_brew(bare, number, brews)
            or _of_serves(bare, number, serves)
        )
        if quantity is not None:
            found.append(quantity)
    return found


def _of_a_part(
    bare: Bare, number: SaidNumber, known: Mapping[str, Sequence[RecipeValue]]
) -> Quantity | None:
    """ "Two hundred and ten of kombucha": in the unit that the recipe has it in."""
    if number.value < LEAST_MEASURED or norms(bare, number.end, 1) != ["of"]:
        return None
    at = number.end + 1
    at += at < bare.end and bare.tokens[at].norm in ("the", "my", "our", "that", "this")
    for mention in bare.mentions:
        if mention.first == at and not bare.tokens[at].gap.strip("-"):
            units = (one.unit for each in mention.ingredient_ids for one in known.get(each, ())
                     if one.kind == "amount" and one.unit in _MEASURES)  # fmt: skip
            unit = next(units, None)
            return None if unit is None else _made(bare, number, unit)
    return None


def _behind_a_name(
    bare: Bare, number: SaidNumber, known: Mapping[str, Sequence[RecipeValue]]
) -> Quantity | None:
    """ "Lemon sixty if anybody asks": right behind a name, where it may be an amount of it."""
    after = norms(bare, number.end, 1)
    counts = after[:1] != [] and after[0].endswith("s") and "'" not in after[0]
    counts = counts or after in (["were"], ["are"], ["people"])
    if number.value < LEAST_MEASURED or bare.tokens[number.first].gap or counts:
        return None
    for mention in bare.mentions:
        if mention.end != number.first:
            continue
        for each in mention.ingredient_ids:
            for one in known.get(each, ()):
                least, most = min(one.values) / _FARTHEST_OFF, max(one.values) * _FARTHEST_OFF
                if one.kind == "amount" and one.unit in _MEASURES and least <= number.value <= most:
                    return _made(bare, number, one.unit)
    return None


_FARTHEST_OFF = 3.0
"""What is told so many times too much or too little may be something else."""


def _of_a_brew(bare: Bare, number: SaidNumber, brews: Iterable[Brew]) -> Quantity | None:
    """ "Water, eight hundred", "for the shot I use nineteen": the grams of a brew."""
    before = [t.norm for t in bare.tokens[max(bare.first, number.first - 12) : number.first]]
    after = norms(bare, number.end, 2)
    is_of_water = before[-1:] == ["water"] or "water" in norms(bare, number.end, 3)
    grams = any(one.unit == "g" for one in bare.quantities)
    is_of_water = is_of_water or (grams and before[-1:] != [] and before[-1] in _ON)
    is_yield = bool(before) and (
        before[-1] in _YIELDS or tuple(before[-2:]) in _YIELDS_AT or after[:2] == ["of", "liquid"]
    )
    is_dose = before[-1:] == ["dose"] or (
        not _DOSED.isdisjoint(before) and not _USED.isdisjoint(before[-1:])
    )
    is_dose = is_dose or (after == ["in"] and bare.tokens[number.first].gap != "-")
    for brew in brews:
        held = (
            brew.water_g if is_of_water else None,
            brew.dose_g if is_dose else None,
            brew.beverage_g if is_yield else None,
        )
        if number.value in held and (ends(bare, number) or is_of_water or is_yield):
            return _made(bare, number, "g")
    return None


def _of_serves(bare: Bare, number: SaidNumber, serves: Collection[int]) -> Quantity | None:
    """ "In the tin, for two.", "the jug holds four": as many as the recipe makes."""
    if number.value < 2 or number.value not in serves or number.first == bare.first:
        return None
    before = bare.tokens[number.first - 1].norm
    is_last = number.end >= bare.end or bool(bare.tokens[number.end].gap.strip("-'"))
    is_last = is_last or bare.tokens[number.end].norm in ("or", "if")
    if before not in _SERVED or bare.tokens[number.first].gap or not is_last:
        return None
    return Quantity("serves", number.first, number.end, number.value, number.value, "serve")


def _made(bare: Bare, number: SaidNumber, unit: str) -> Quantity:
    bound = bound_of(bare.tokens, number.first, number.end, bare.lang)
    value = number.value
    return Quantity("amount", number.first, number.end, value, value, unit, number.also, bound)
