"""Numbers with a unit that still claim nothing of a drink."""

from collections.abc import Sequence

from server.domain.base.tokens import Token
from server.domain.claims.cues import english
from server.domain.claims.quantities import Quantity

TURNING = frozenset({"turn", "turned", "turning", "rotate", "rotated", "angle", "turns"})
RESTING = frozenset(
    {
        "aged", "ageing", "aging", "matured", "rested", "rest", "rests", "slept", "barrel", "cask",
        "casks", "oak", "infused", "macerated", "fermented", "old",
    }
)  # fmt: skip
PEOPLE = frozenset({"i", "i'm", "i've", "my", "me", "he", "she", "his", "her"})
FARM = frozenset(
    [
        "farm", "farmer", "farmers", "cherries", "harvest", "harvested", "picking", "picked",
        "mill", "beds", "tables", "patio", "parchment", "dried", "drying", "crop", "orchard",
        "roaster", "roasted", "roasting", "roast", "crack", "depulp", "anaerobic", "anaerobically"
    ]
)  # fmt: skip
MAKING = frozenset(
    [
        "shake", "shaken", "shakes", "stir", "stirred", "brew", "brewed", "brews", "brewing",
        "steep", "steeps", "steeped", "infuse", "infuses", "infused", "rest", "rests", "rested",
        "stand", "stands", "chill", "chilled", "freeze", "boil", "boils", "simmer", "cook", "cooks",
        "heat", "blend", "bloom", "blooms", "wait", "sip", "drink", "taste", "serve", "keep",
        "keeps", "hold", "holds", "lasts", "strain", "pour", "foam", "churn", "whip",
        "cool", "aged", "age", "matured", "macerate", "slot", "clock", "culture", "cultured",
        "ferment", "ferments", "vide", "sitting", "incubate",
    ]
)  # fmt: skip
LEAVING = frozenset(
    [
        "leave", "leaves", "left", "sit", "sits", "stays", "stay", "soak", "soaks", "soaked",
        "wait", "waits", "fridge", "freezer", "cellar", "jar", "filter", "filters", "drip",
        "drips", "press", "dry", "takes", "set", "sets", "proof", "ready", "need", "needs", "after",
        "cold", "dark", "cloth", "through",
    ]
)  # fmt: skip
"""Without one of these or of making, hours are those of a day, not of a recipe."""
TRAVEL = frozenset(
    [
        "boat", "train", "bus", "crossing", "journey", "ferry", "river", "walk", "drive", "road",
        "flight", "ship", "captain", "shift",
    ]
)  # fmt: skip
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

GLASSES = frozenset({"glass", "glasses", "cup", "coupe", "mug", "each"})
"""What a drink is in; what "holds" so much else is a store."""

TERSE = 6
"""A sentence of so few words is a step of a recipe: "One to ten, twelve hours, paper"."""

YEAR_S = 31_557_600
DAY_S = 86_400
MOST_SERVED = 100
_ONE = ("one", "each", "every", "a", "an")
"""Behind "from": what one fruit or one batch yields is no amount of the recipe."""

LEAST_STORE_G = 5.0
"""Kilograms, or tens of litres, from which an amount is a store, not a recipe's."""


_NO_STRENGTH = frozenset(
    {"fat", "butterfat", "solution", "dilution", "humidity", "saline", "brine", "pulp", "cocoa"}
)
"""Beside one of these per cents are none of alcohol."""


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
        is_of_day = after[:1] == ["at"] and after[1:2] and after[1] in HOURS
        is_of_day = is_of_day or (
            after[:1] == ["for"] and bool(words & {"months", "weeks", "days"})
        )
        return not words & (TURNING | WEATHER) and not is_of_day and "if" not in before
    if quantity.kind == "strength":
        if {"weight", "mass"} & set(after) or _NO_STRENGTH & {*after[:1], *before}:
            # "Ten percent coffee by weight", "thirty percent fat", "dilution about twenty percent".
            return False
        return quantity.low <= 96 and not (after[:1] == ["of"] and "alcohol" not in after)
    if quantity.kind == "time":
        return _is_duration_claim(quantity, words, before, after)
    if quantity.kind == "serves":
        said = tokens[quantity.end - 1].norm
        if "if" in before or after[:1] == ["worth"]:
            return False
        return _is_served(quantity, said, words, before, after)
    if quantity.kind == "amount":
        is_store = words & STORES or ("holds" in words and not words & GLASSES)
        if is_store or (words & {"drank", "poured"} and words & {"every", "old", "years"}):
            return False
        if _is_per_volume(quantity, words, before):
            return False
        is_of_one = after[:1] == ["from"] and after[1:2] and after[1] in _ONE
        return not (
            is_of_one
            or _is_yield(words, before)
            or (quantity.unit == "kg" and quantity.low >= LEAST_STORE_G)
        )
    return True


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


def _is_duration_claim(
    quantity: Quantity, words: set[str], before: Sequence[str], after: Sequence[str]
) -> bool:
    if {"ago", "away", "later", "earlier"} & set(after) or "years old" in " ".join(after):
        return False
    from_now = after[:2] == ["from", "now"]
    if (
        not from_now
        and after[:1]
        and after[0] in ("from", "before", "by")
        and not {"for", "takes", "take"} & set(before[-2:])
    ):
        return False
    if after[:1] == ["said"] or (before[-2:-1] in (["took"], ["cost"]) and before[-1] in PEOPLE):
        return False
    is_terse = len(words) <= TERSE and not words & (PEOPLE | TRAVEL)
    if quantity.low >= 3_600 and not is_terse and not words & (RESTING | MAKING | LEAVING):
        return False
    if {"next", "past", "last"} & set(before[-2:]) or ("give" in before and "me" in before):
        return False
    if "instead" in after or (
        words & FARM and (quantity.low >= 3_600 or words & {"crack", "roaster"})
    ):
        return False
    if after[:1] == ["left"] or words & {"practised", "practiced", "rehearsed"}:
        return False
    if "used" in words and words & (english().story | {"he", "she"}) and "to" in words:
        # "My uncle used to shake for an hour": a habit of somebody, long gone.
        return False
    if words & TRAVEL and not words & MAKING:
        return False
    if quantity.low == DAY_S and not words & (RESTING | MAKING):
        return False
    keeps = words & {"keep", "keeps", "lasts", "lees", "bottle"} and not words & PEOPLE
    if quantity.low >= YEAR_S / 12 and (
        not (words & RESTING or keeps) or (words & PEOPLE and "old" in words)
    ):
        return False
    if quantity.low >= 7 * DAY_S and words & english().story:
        return False
    # "One second, please", "just a minute": courtesy, not a duration.
    return not (
        quantity.low in (1.0, 60.0) and words & {"please", "give", "wait", "just", "moment"}
    )
