"""Counts of other things than serves: ingredients, shakes, turns of the spoon, pours of water."""

from collections.abc import Sequence

from server.domain.base.languages import Language
from server.domain.base.tokens import Token, places_of
from server.domain.claims.quantities import Quantity
from server.domain.claims.said_numbers import SaidNumber

COUNTED = {
    "ingredient": (
        "ingredients", "components", "zutaten", "ingrédients", "ingredientes", "ingredienti",
    ),
    "shake": ("shakes",),
    "stir": ("turns", "stirs", "rotations", "revolutions"),
    "pour": ("pours", "pulses"),
}  # fmt: skip
"""What is counted -> the words for it in any language."""

_UNITS = {word: unit for unit, words in COUNTED.items() for word in words}

_THINGS = ("things", "elements", "items", "parts")
_GO_IN = (
    frozenset({"go", "goes", "cup", "glass", "drink", "recipe", "inside", "shaker", "cocktail"})
)  # fmt: skip
_MADE = frozenset(
    {"make", "making", "made", "pour", "poured", "pouring", "serve", "serving", "served"}
)
_OF_THEM = ("them", "these", "those")


def counts_in(
    tokens: Sequence[Token],
    span: tuple[int, int],
    numbers: Sequence[SaidNumber],
    found: Sequence[Quantity],
    lang: Language,
) -> list[Quantity]:
    """The counts of a sentence (first token, end), in order."""
    busy = places_of(found)
    words = frozenset(token.norm for token in tokens[span[0] : span[1]])
    counted = (
        _counted(tokens, span, number, words, lang)
        for number in numbers
        if number.first not in busy
    )
    return [quantity for quantity in counted if quantity is not None]


def _counted(
    tokens: Sequence[Token],
    span: tuple[int, int],
    number: SaidNumber,
    words: frozenset[str],
    lang: Language,
) -> Quantity | None:
    if number.value != int(number.value) or not 1 <= number.value <= 1000:
        return None
    near = _words_behind(tokens, number.end, span[1])
    for steps, word in enumerate(near[:2]):
        if word in _UNITS:
            return _count(number, number.end + steps + 1, _UNITS[word])
    if lang.code != "en" or (not near and not _is_for(tokens, span, number)):
        return None
    return _in_english(tokens, span, number, near, words)


def _in_english(
    tokens: Sequence[Token],
    span: tuple[int, int],
    number: SaidNumber,
    near: Sequence[str],
    words: frozenset[str],
) -> Quantity | None:
    first = near[0] if near else ""
    if first in _THINGS[:3] and words & _GO_IN and number.value > 1:
        return _count(number, number.end + 1, "ingredient")
    if first == "times" and words & {"shake", "shaking", "shaken"}:
        return _count(number, number.end + 1, "shake")
    if first == "times" and words & {"stir", "stirring", "stirred", "turn"}:
        return _count(number, number.end + 1, "stir")
    of_them = first == "of" and len(near) > 1 and near[1] in _OF_THEM
    if number.value > 1 and of_them and words & _MADE:
        return Quantity("serves", number.first, number.end + 2, number.value, number.value, "serve")
    if number.value > 1 and (_is_for(tokens, span, number) or _is_made_for(tokens, number, first)):
        return Quantity("serves", number.first, number.end, number.value, number.value, "serve")
    return None


def _is_for(tokens: Sequence[Token], span: tuple[int, int], number: SaidNumber) -> bool:
    """ "enough for two", "drinks for four" at the end of a clause."""
    at = number.first
    ends = number.end >= span[1] or bool(tokens[number.end].gap.strip("-"))
    is_for = at - 2 >= span[0] and tokens[at - 1].norm == "for" and not tokens[at].gap
    return ends and is_for and tokens[at - 2].norm in ("enough", "drinks", "recipe", "serve", "it")


def _is_made_for(tokens: Sequence[Token], number: SaidNumber, first: str) -> bool:
    """ "I am making five for the panel"."""
    before = tokens[number.first - 1].norm if number.first else ""
    return first == "for" and before in _MADE


def _words_behind(tokens: Sequence[Token], at: int, end: int) -> list[str]:
    words: list[str] = []
    while at < end and len(words) < 3 and not tokens[at].gap.strip("-"):
        words.append(tokens[at].norm)
        at += 1
    return words


def _count(number: SaidNumber, end: int, unit: str) -> Quantity:
    return Quantity("count", number.first, end, number.value, number.value, unit)
