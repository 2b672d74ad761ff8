"""Numbers with a unit that still claim nothing of a drink."""

from collections.abc import Collection, Sequence

from server.domain.base.tokens import Token
from server.domain.claims.quantities import Quantity
from server.domain.claims.spoken.own_times import clause_words, is_duration

TURNING = frozenset({"turn", "turned", "turning", "rotate", "rotated", "angle", "turns"})
SERVING = frozenset(
    [
        "serve", "serves", "serving", "makes", "make", "making", "made", "enough", "for",
        "between", "pour",
    ]
)  # fmt: skip
_OF_THEN = frozenset({"was", "were", "stood", "he", "he's", "she", "she's"})
WEATHER = frozenset(
    {
        "outside", "weather", "wind", "january", "february", "march", "april",
        "june", "july", "august", "september", "october", "november", "december", "shade",
    }
)  # fmt: skip
"""A temperature beside one of these is that of a day."""

HOURS = frozenset({"noon", "night", "midnight", "dawn", "dusk", "midday"})
"""A temperature "at" one of these is that of a day."""

STORES = frozenset({"bought", "buy", "lost", "spilled", "spilt", "ordered", "sold"})
"""An amount beside one of these is none that goes into a glass."""

GLASSES = frozenset({"glass", "glasses", "cup", "coupe", "mug", "each", "portion", "serve"})
"""What a drink is in; what "holds" so much else is a store."""

MOST_SERVED = 100
_ONE = ("one", "each", "every", "a", "an")
"""Behind "from": what one fruit or one batch yields is no amount of the recipe."""

LEAST_STORE_KG, LEAST_STORE_L = 5.0, 20.0
"""So many kilograms or litres, or more, are a store and not a recipe's. Ours."""


_NO_STRENGTH = frozenset(
    {
        "fat", "butterfat", "solution", "dilution", "humidity", "saline", "brine", "pulp", "cocoa",
        "acid", "acidity", "acids", "sugar", "sugars", "protein",
    }
)  # fmt: skip
"""Beside one of these per cents are none of alcohol."""

CHANGED = frozenset({"meet", "meets", "react", "reacts", "decompose", "decomposes", "caramelises"})
"""What substances do at a temperature: no warmth of a drink."""
CHEMISTRY_C = 100.0


def is_claimed(
    tokens: Sequence[Token], quantity: Quantity, sentence: tuple[int, int], language: str = "en"
) -> bool:
    """Whether a quantity in its sentence (first token, end) is a claim.

    Not: angles, "one hundred percent sure", "ten years ago", "one second, please".
    """
    if language != "en":
        return True
    words = {token.norm for token in tokens[sentence[0] : sentence[1]]}
    after = [token.norm for token in tokens[quantity.end : min(quantity.end + 3, sentence[1])]]
    before = [token.norm for token in tokens[max(sentence[0], quantity.first - 3) : quantity.first]]
    if {"could", "would"} & set(before) and "have" in before:
        return False
    if _is_tried(tokens, quantity.first, sentence[0]):
        return False
    if quantity.kind == "temperature":
        return "if" not in before and not _is_of_no_drink(tokens, quantity, sentence, words, after)
    if quantity.kind == "strength":
        if {"weight", "mass"} & set(after) or _NO_STRENGTH & {*after[:1], *before}:
            # "Ten percent coffee by weight", "thirty percent fat", "dilution about twenty percent".
            return False
        return quantity.low <= 96 and not (after[:1] == ["of"] and "alcohol" not in after)
    if quantity.kind == "time":
        return is_duration(tokens, quantity, sentence)
    if quantity.kind == "serves":
        said = tokens[quantity.end - 1].norm
        if "if" in before or after[:1] == ["worth"]:
            return False
        return _is_served(quantity, said, words, before, after)
    if quantity.kind == "amount":
        if quantity.unit == "part" and _is_of_any(tokens, quantity.first):
            return False
        near = clause_words(tokens, quantity, sentence)
        is_store = near & STORES or ("holds" in near and not words & GLASSES)
        is_past = words & {"drank", "poured"} and words & {"every", "old", "years"}
        if is_store or is_past or before[-2:] in (["down", "from"], ["up", "from"]):
            return False
        if _is_per_volume(quantity, words, before):
            return False
        is_of_one = after[:1] == ["from"] and after[1:2] and after[1] in _ONE
        # "Two hundred and forty millilitres, from a light roast" tells what it is made of.
        is_of_one = is_of_one and not tokens[quantity.end].gap.strip("-")
        return not (
            is_of_one
            or _is_yield(words, before)
            or after in (["to", "make", "one"], ["to", "make", "a"])
            or (quantity.unit == "kg" and quantity.low >= LEAST_STORE_KG)
            or (quantity.unit == "l" and quantity.low >= LEAST_STORE_L)
        )
    return True


def _is_of_no_drink(
    tokens: Sequence[Token],
    quantity: Quantity,
    sentence: tuple[int, int],
    words: set[str],
    after: Sequence[str],
) -> bool:
    """Whether degrees are an angle, the warmth of a day, or where substances change."""
    near = clause_words(tokens, quantity, sentence)
    is_of_day = after[:1] == ["at"] and after[1:2] != [] and after[1] in HOURS
    is_of_day = is_of_day or (after[:1] == ["for"] and bool(words & {"months", "weeks", "days"}))
    is_chemistry = quantity.low >= CHEMISTRY_C and not CHANGED.isdisjoint(near)
    return is_of_day or is_chemistry or bool(words & WEATHER) or not TURNING.isdisjoint(near)


def _is_of_any(tokens: Sequence[Token], at: int) -> bool:
    """ "An egg white is nine parts water and one part protein": of any egg, not of this drink."""
    words = [token.norm for token in tokens[max(0, at - _MOST_GENERAL) : at]]
    return any(word == "is" and {"a", "an"} & set(words[max(0, n - 3) : n])
               for n, word in enumerate(words))  # fmt: skip


_MOST_GENERAL = 9


def is_image(
    tokens: Sequence[Token], quantity: Quantity, other: str, units: Collection[str]
) -> bool:
    """ "With a drop of varnish": so little of what no recipe lists (`other`) tells of a taste, and
    "a pinch of salt helps" is a saying where no recipe measures in pinches (`units`).
    """
    is_one = tokens[quantity.first].norm in ("a", "an") and quantity.low == 1
    if not is_one or quantity.unit not in ("drop", "pinch", "sprig"):
        return False
    return bool(other) or (quantity.unit != "drop" and quantity.unit not in units)


def _is_tried(tokens: Sequence[Token], at: int, first: int) -> bool:
    """ "I've tried three to one": what did not stay."""
    near = [token.norm for token in tokens[max(first, at - 5) : at]]
    return "tried" in near and not any(token.gap.strip("-'") for token in tokens[at : at + 1])


def _is_per_volume(quantity: Quantity, words: set[str], before: Sequence[str]) -> bool:
    """ "eight grams to half a litre", "five grams the litre": how strong, not how much."""
    by = {"to", "per", "the", "every", "each"} & set(before[-1:]) or before[-1:] in (
        ["grams"],
        ["g"],
    )
    return quantity.unit in ("l", "ml") and bool(by) and bool(words & {"g", "gram", "grams"})


def _is_yield(words: set[str], before: Sequence[str]) -> bool:
    """ "out of every kilo I get about half a litre": what comes of so much, not what goes in."""
    gets = {"get", "gives", "yields", "makes"} & set(before)
    return bool(gets) and "of" in words and "out" in words and bool({"every", "each"} & words)


def _is_served(
    quantity: Quantity, said: str, words: set[str], before: Sequence[str], after: Sequence[str]
) -> bool:
    """ "three hundred cups a night", "forty people work at the mill" serve nobody here."""
    if quantity.low > MOST_SERVED:
        return False
    if after[:1] in (["a"], ["per"], ["every"]) and after[1:2] and after[1] in (
        "night", "day", "week", "month", "year", "shift",
    ):  # fmt: skip
        return False
    if before[-1:] == ["had"] or (words & _OF_THEN and not words & SERVING):
        # "You've had eleven drinks", "on the table was a bottle and two glasses".
        return False
    return (
        said not in ("people", "guests")
        or before[-2:] == ["we", "are"]
        or bool({"for", "between"} & set(before))
        or bool(words & {"serve", "serves", "serving"})
    )
