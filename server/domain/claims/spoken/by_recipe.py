"""Numbers that the recipe itself tells the unit of: "palm arrack, two hundred", "the rum's 54".

Nobody says "millilitres" all evening. A number beside an ingredient's name that is what the recipe
has of it, in all or for each serve, is that amount; one that is its strength or its warmth is that.
What differs from the recipe is left to the rules that read a unit from the words around it.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from server.domain.base.tokens import places_of
from server.domain.claims.facts import STRENGTH
from server.domain.claims.mentions import Mention
from server.domain.claims.quantities import Quantity
from server.domain.claims.said_numbers import SaidNumber
from server.domain.claims.spoken.apiece import COUNTABLE
from server.domain.claims.spoken.bare import GOES_ON, Bare, norms
from server.domain.claims.spoken.bounds import bound_of
from server.domain.claims.spoken.units import QuantityKind
from server.domain.routine.drink import Drink, Ingredient

FARTHEST = 10
"""Most tokens between a name and its number."""

LEAST_ALIKE = 3.0
"""Smaller numbers count too many other things to be told by the recipe."""

_EACH = frozenset(
    {
        "any", "a", "apiece", "altogether", "times", "per", "each", "no", "not", "near", "up",
        "across", "between", "split", "here", "my", "now", "same", "total", "please",
    }
)  # fmt: skip
_OF_STRENGTH = frozenset({"overproof", "proof", "strength", "abv", "strong", "bottled"})
_AT = frozenset({"at", "bottled", "reads"})
_JOINTS = frozenset(
    {
        "of", "the", "a", "an", "my", "our", "this", "that", "some", "is", "at", "and", "with",
        "takes", "gets", "so", "it's", "it", "about", "roughly", "just", "only", "in", "there's",
        "goes", "first", "bottled", "bit", "that's", "comes", "was", "for", "you", "use", "i",
        "then", "which", "has", "are", "nearly", "almost", "exactly", "makes", "to", "from",
        "up", "down", "used", "i've", "we've", "using", "put", "take", "i'm",
        "we're", "me", "need", "add", "on",
        "off", "still", "strong", "overproof", "over", "sits", "stands", "give", "next",
        "top", "water", "brewed", "pressed", "squeezed", "pour", "we", "get", "got", "have", "had",
        "go", "went", "now", "here",
        "today", "always", "stays", "say", "call", "pours", "measure", "weigh", "come", "came",
        "also", "there", "again", "please", "precisely", "maybe", "um", "uh", "er", "well", "by",
        "adds", "i'll", "we'll", "you'll", "there'll", "poured", "weighs", "he", "she",
    }
)  # fmt: skip
"""Small words between a name and the number that is told of it."""


@dataclass(frozen=True)
class RecipeValue:
    """What a recipe has of an ingredient: a value that may be said of it, and its unit."""

    kind: QuantityKind
    values: tuple[float, ...]
    unit: str


def known_of(drinks: Sequence[Drink]) -> dict[str, tuple[RecipeValue, ...]]:
    """Id of each ingredient -> its amount (all, for one), strength and warmth."""
    return {
        part.id: tuple(_of(part, drink.serves)) for drink in drinks for part in drink.ingredients
    }


def sizes_of(drinks: Sequence[Drink]) -> frozenset[int]:
    """How many ingredients the recipes have, with and without water and ice; none where a recipe
    is in parts.
    """
    parts = [part for drink in drinks for part in drink.ingredients]
    if any(part.amount.unit == "part" for part in parts):
        return frozenset()
    return frozenset(
        sum(1 for part in drink.ingredients if is_all or not _is_water(part))
        for drink in drinks
        for is_all in (True, False)
    )


def _is_water(part: Ingredient) -> bool:
    return part.substance is not None and part.substance.kind in ("water", "ice")


def _of(part: Ingredient, serves: int) -> list[RecipeValue]:
    value = part.amount.value
    found = [RecipeValue("amount", (value, value / serves), str(part.amount.unit))]
    strength = STRENGTH.search(part.name)
    substance = part.substance
    if strength is not None:
        found.append(RecipeValue("strength", (float(strength[1].replace(",", ".")),), "%"))
    elif substance is not None and substance.abv is not None and substance.abv.value > 0:
        found.append(RecipeValue("strength", (substance.abv.value,), "%"))
    if substance is not None and substance.temp_c is not None:
        found.append(RecipeValue("temperature", (substance.temp_c.value,), "C"))
    return found


def by_recipe(
    bare: Bare,
    known: Mapping[str, Sequence[RecipeValue]],
    topic: Mention | None,
    instead: Mapping[int, SaidNumber],
) -> list[Quantity]:
    """The bare numbers of a sentence that the recipe tells the unit of, in order.

    `topic` is the ingredient named last in what was said just before the sentence; `instead` has
    the number that one stands for, where it mends a slip: "ninety, sorry, eighty".
    """
    if bare.lang.code != "en":
        return []
    found = []
    for number in bare.numbers:
        is_few = abs(number.value) < LEAST_ALIKE and not _is_counted(bare, number, known)
        if is_few or not _stands(bare, number, known):
            continue
        said = [number, *([instead[number.first]] if number.first in instead else ())]
        named = [find(bare, one) for one in said for find in (_named_behind, _named_before)]
        if not any(named) and _opens(bare, number):
            named = [topic]
        told: Iterable[list[RecipeValue]] = (
            [r for one in each.ingredient_ids for r in known.get(one, ())]
            for each in named
            if each is not None
        )
        near = [_word(bare, at) for at in range(number.first - 4, number.first)]
        if not _POURS.isdisjoint(near[-2:]):
            # "Rum. Add forty.", "add it forty": nobody adds a strength.
            told = ([one for one in k if one.kind == "amount"] for k in told)
        kinds = next((k for k in told if any(_fits(n, one) for one in k for n in said)), [])
        kinds = kinds or _only_one(bare, number, known)
        if near[-1] in _AT or not _OF_STRENGTH.isdisjoint(near):
            kinds.sort(key=lambda each: each.kind == "amount")
        fits = next((each for each in kinds if any(_fits(n, each) for n in said)), None)
        if fits is not None:
            found.append(_with_unit(bare, number, fits))
    return found


def _is_counted(bare: Bare, number: SaidNumber, known: Mapping[str, Sequence[RecipeValue]]) -> bool:
    """ "cloves two": a small number right behind what the recipe counts in pieces."""
    beside = (one for one in bare.mentions if one.end == number.first and number.value > 1)
    ids = [one for mention in beside for one in mention.ingredient_ids]
    return any(
        each.unit in COUNTABLE and _fits(number, each) for one in ids for each in known.get(one, ())
    )


def _only_one(
    bare: Bare, number: SaidNumber, known: Mapping[str, Sequence[RecipeValue]]
) -> list[RecipeValue]:
    """ "I use a hundred and forty", "press them: sixty": what one part of the recipe alone has."""
    before = [_word(bare, at) for at in range(number.first - 3, number.first)]
    after = norms(bare, number.end, 2)
    is_told = bare.tokens[number.first].gap == ":" or not _USES.isdisjoint(before)
    gap = bare.tokens[number.first].gap.strip("-")
    is_told = is_told or (gap in (",", "–", "—") and not after)
    is_told = is_told or after in (["of", "it"], ["of", "that"]) or before[-2:] == ["of", "that"]
    is_told = is_told or (before[-1] == "that's" and not after)
    clear = number.value >= _LEAST_CLEAR and not any(one in _NOT_USED for one in before)
    fits = [
        each
        for kinds in known.values()
        for each in kinds
        if each.kind == "amount" and _fits(number, each)
    ]
    return fits if is_told and clear and len(fits) == 1 else []


_USES = frozenset(
    {
        "use", "used", "using", "put", "add", "pour", "pouring", "adding", "need", "take",
        "measure", "i've",
    }
)  # fmt: skip
_POURS = frozenset({"add", "adding", "pour", "pouring", "measure", "put"})
_NOT_USED = frozenset({"for", "by", "from", "to", "after", "before", "than", "under", "over"})
_LEAST_CLEAR = 10.0


def has_amount(
    known: Mapping[str, Sequence[RecipeValue]], mention: Mention, quantity: Quantity
) -> bool:
    """Whether the recipe has an amount of what is named, in all or for one."""
    return any(
        each.kind == "amount" and each.unit == quantity.unit and quantity.low in each.values
        for one in mention.ingredient_ids
        for each in known.get(one, ())
    )


def _fits(number: SaidNumber, known: RecipeValue) -> bool:
    said = (number.value, *number.also)
    return any(
        abs(one - value) <= 0.005 * max(1.0, value) for one in said for value in known.values
    )


def _with_unit(bare: Bare, number: SaidNumber, known: RecipeValue) -> Quantity:
    bound = bound_of(bare.tokens, number.first, number.end, bare.lang)
    value = number.value
    return Quantity(
        known.kind, number.first, number.end, value, value, known.unit, number.also, bound
    )


def _stands(bare: Bare, number: SaidNumber, known: Mapping[str, Sequence[RecipeValue]]) -> bool:
    """Whether nothing follows that the number counts; right behind its name anything may."""
    after = norms(bare, number.end, 1)
    if after == ["times"] and not any(one.first == number.end + 1 for one in bare.numbers):
        # "Three times" counts turns; "forty times two" does not.
        return False
    if not after or after[0] in GOES_ON or after[0] in _EACH:
        return True
    if _word(bare, number.first - 1) == "at" or not after[0].endswith("s"):
        steps = number.first - (_word(bare, number.first - 1) == "at")
        beside = (one for one in bare.mentions if one.end == steps)
        ids = [one for mention in beside for one in mention.ingredient_ids]
        if any(_fits(number, each) for one in ids for each in known.get(one, ())):
            return True
    return any(one.first == number.end and one.ingredient_ids for one in bare.mentions)


def _named_behind(bare: Bare, number: SaidNumber) -> Mention | None:
    """The ingredient right behind a number: "fifty of the rum", "fifty rum"."""
    at = number.end
    says_at = _word(bare, number.first - 1) in _AT
    while not says_at and at < bare.end and at - number.end < 3 and _is_small(bare, at):
        at += 1
    for one in bare.mentions:
        if one.ingredient_ids and one.first == at and not bare.tokens[at].gap.strip("-"):
            return one
    return None


def _named_before(bare: Bare, number: SaidNumber) -> Mention | None:
    """The ingredient that a number is told of: "rum, fifty", "the rum's at fifty"."""
    before = [one for one in bare.mentions if one.ingredient_ids and one.end <= number.first]
    last = before[-1] if before else None
    if last is None or number.first - last.end > FARTHEST:
        return None
    counted = places_of((*bare.numbers, *bare.quantities))
    between = [at for at in range(last.end, number.first) if at not in counted]
    if any(set(bare.tokens[at].gap) & set(".!?;") for at in range(last.end, number.first + 1)):
        return None
    is_told = bare.tokens[number.first].gap == ":" or _word(bare, number.first - 1) in _AT
    return last if is_told or all(_word(bare, at) in _JOINTS for at in between) else None


def _is_small(bare: Bare, at: int) -> bool:
    return bare.tokens[at].norm in _BEFORE_A_NAME


_BEFORE_A_NAME = frozenset(
    {"of", "the", "my", "our", "that", "this", "on", "fresh", "cold", "good", "lovely", "same"}
)


def _opens(bare: Bare, number: SaidNumber) -> bool:
    """ "And lime. Eighty.", "it's forty-two", "and you only need ten": told of what was named."""
    begin = number.first
    while begin > bare.first and not bare.tokens[begin].gap.strip("-'"):
        begin -= 1
    words = [token.norm for token in bare.tokens[begin : number.first]]
    return (
        bool(words or begin == bare.first)
        and len(words) <= FARTHEST
        and all(word in _TOLD for word in words)
    )


_TOLD = _JOINTS | {
    "we", "you've", "got", "i've", "need", "take", "add", "put", "pour", "have", "call", "and",
    "on", "here", "again", "me", "bottled", "at", "you", "proof", "abv",
}  # fmt: skip


def _word(bare: Bare, at: int) -> str:
    return bare.tokens[at].norm if bare.first <= at < bare.end else ""
