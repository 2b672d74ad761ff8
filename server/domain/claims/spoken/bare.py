"""Numbers without a unit, and those that need none: "minus four", "a gin at forty-six"."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from server.domain.base.languages import Language
from server.domain.base.tokens import Token
from server.domain.claims.mentions import Mention
from server.domain.claims.quantities import Quantity
from server.domain.claims.said_numbers import SaidNumber
from server.domain.claims.spoken.bounds import bound_of
from server.domain.claims.spoken.units import QuantityKind

_AT_ZERO = ("at", "under", "below", "above", "near", "around")

COLDEST_C = -80.0
LEAST_ABV = 5.0
MOST_ABV = 96.0
SPIRITS = frozenset(
    [
        "gin", "rum", "whisky", "whiskey", "brandy", "vodka", "tequila", "mezcal", "spirit",
        "spirits", "liqueur", "bitters", "bourbon", "rye", "grappa", "pisco", "aquavit", "absinthe",
        "vermouth", "distillate", "liquor", "cachaça", "arrack", "eau", "amaro", "amari", "sherry",
        "port", "agave", "shochu", "soju", "curaçao",
    ]
)  # fmt: skip
STRENGTH = frozenset({"strength", "abv", "alcohol", "proof", "vol"})
SITS = frozenset({"at", "is", "bottled"})
GOES_ON = frozenset(
    [
        "of", "in", "out", "for", "per", "each", "and", "to", "on", "into", "go", "goes", "then",
        "all", "at", "from", "as", "with", "but", "or", "because", "so", "which", "that", "it",
        "gives", "is", "when", "while", "by", "before", "after", "over", "again", "more", "if",
        "since", "until", "till", "straight", "the", "i", "we", "it's", "that's", "und", "y", "et",
        "e",
    ]
)  # fmt: skip
"""Words that may follow a bare number; any other counts something of its own."""


A_HEAD = frozenset(
    {
        *((word, who) for word in ("for", "in", "to") for who in (
            "each", "everyone", "everybody", "both", "every", "one", "all", "a",
        )),
        ("between", "you"), ("between", "us"), ("a", "head"), ("a", "glass"), ("a", "cup"),
        ("a", "person"), ("a", "serve"),
    }
)  # fmt: skip
"""What tells behind an amount that it is one glass's, or all of it."""


@dataclass(frozen=True)
class Bare:
    """A sentence with numbers that have no unit."""

    tokens: Sequence[Token]
    first: int
    end: int
    numbers: Sequence[SaidNumber]
    """Numbers of the sentence that belong to no quantity yet, in order."""
    quantities: Sequence[Quantity]
    mentions: Sequence[Mention]
    carried: Quantity | None
    """The last amount of the sentences before."""
    is_named_before: bool
    """Whether the sentence before is a short one that ends with an ingredient: "And lime."."""
    lang: Language
    timed: Quantity | None = None
    """The last time told not long before the sentence."""


def below_zero(bare: Bare, number: SaidNumber) -> Quantity | None:
    """ "minus four", "at zero", "under zero": only a temperature is below nothing."""
    if not COLDEST_C <= number.value <= 0:
        return None
    before = bare.tokens[number.first - 1] if number.first > bare.first else None
    if number.value == 0 and (before is None or before.norm not in _AT_ZERO):
        return None
    if before is not None and (before.is_number or _is_give_or_take(bare, number)):
        return None
    return counted_in(bare, number, "temperature", number.value, "C")


def counted_in(
    bare: Bare, number: SaidNumber, kind: QuantityKind, value: float, unit: str
) -> Quantity:
    """A bare number as so much of a unit, bounded as the words around it have it."""
    bound = bound_of(bare.tokens, number.first, number.end, bare.lang)
    return Quantity(kind, number.first, number.end, value, value, unit, bound=bound)


def degrees_below(bare: Bare, number: SaidNumber) -> Quantity | None:
    """ "The spirit's at sixteen below": so many degrees of frost."""
    before = words_before(bare, number.first, 1)
    is_told = before != [] and (before[0] in ("at", "it's", "is") or before[0].endswith("'s"))
    if bare.lang.code != "en" or not is_told or not 1 <= number.value <= -COLDEST_C:
        return None
    if norms(bare, number.end, 2) not in (["below"], ["below", "it"]):
        return None
    return Quantity("temperature", number.first, number.end + 1, -number.value, -number.value, "C")


def _is_give_or_take(bare: Bare, number: SaidNumber) -> bool:
    """ "eighty-six, plus or minus one": how exact, not how cold."""
    return words_before(bare, number.first, 2) == ["plus", "or"]


def warmth(bare: Bare, number: SaidNumber) -> Quantity | None:
    """ "I brew it at ninety-three", "I culture it at twenty-two", "chilled down to six": what is
    brewed, cooked, cultured or chilled at or to a number has so many degrees.
    """
    if bare.lang.code != "en" or not ends(bare, number):
        return None
    before = [t.norm for t in bare.tokens[max(bare.first, number.first - 7) : number.first]]
    is_named = before[-1:] == ["temperature"] and bare.tokens[number.first].gap == ":"
    if is_named and COLDEST_C <= number.value <= 100:
        return counted_in(bare, number, "temperature", number.value, "C")
    while before and before[-1] in ("about", "around", "just", "only", "exactly"):
        before.pop()
    if norms(bare, number.end, 3)[1:] in (["the", "probe"], ["the", "thermometer"]):
        return counted_in(bare, number, "temperature", number.value, "C")
    if not before or before[-1] not in ("at", "to", "has", "between", "and", "until", "says"):
        return None
    told, verbs, value = before[-1], {word.removesuffix("'s") for word in before}, number.value
    if told in ("between", "and") and (told == "between" or "between" in before):
        is_meant = _COOLEST_BREW_C <= value <= 100 and bool(verbs & {"water", "kettle"})
    elif told == "and":
        return None
    elif verbs & _CHILLING:
        is_meant = COLDEST_C <= value <= _WARMEST_CHILLED_C
    elif told == "says":
        is_meant = bool(verbs & {"temperature", "thermometer", "probe"}) and value <= 100
    elif told == "has":
        return None
    else:
        is_meant = _COOLEST_HOT_C <= value <= 96 and told == "at" and bool(verbs & _DRUNK)
        is_brew = told == "at" and _COOLEST_BREW_C <= value <= 100 and bool(verbs & _BREWING)
        is_brew = is_brew or is_meant
        is_meant = is_brew or (_COOLEST_COOKED_C <= value <= 120 and bool(verbs & _COOKING))
    if not is_meant:
        return None
    return counted_in(bare, number, "temperature", number.value, "C")


_COOLEST_HOT_C = 55
_DRUNK = frozenset({"drink", "have", "serve", "served", "lands", "arrives", "arrive", "goes"})
_COOLEST_BREW_C = 60
_COOLEST_COOKED_C = 20
_WARMEST_CHILLED_C = 12
_BREWING = frozenset({"brew", "brewed", "water", "kettle", "steep", "steeped", "infuse", "infused"})
_COOKING = frozenset(
    {
        "culture", "cultured", "ferment", "fermented", "cook", "cooked", "vide", "simmer",
        "steam", "steaming", "steamed", "heat", "heated", "pasteurised", "incubate",
    }
)  # fmt: skip
_CHILLING = frozenset({"fridge", "freezer", "chill", "chilled", "cool", "cooled", "chiller"})


def strength(bare: Bare, number: SaidNumber) -> Quantity | None:
    """ "a strength of 46", "at forty-six ABV", "the gin is at forty-six", "ninety-two proof"."""
    if bare.lang.code != "en":
        return None
    after = norms(bare, number.end, 3)
    before = [t.norm for t in bare.tokens[max(bare.first, number.first - 3) : number.first]]
    if after[:1] == ["proof"] and 10 <= number.value <= 192:
        return _as_strength(number, number.end + 1, number.value / 2)
    if not LEAST_ABV <= number.value <= MOST_ABV:
        return None
    if after[:1] and after[0] in STRENGTH:
        return _as_strength(number, number.end + 1, number.value)
    if after[:2] == ["by", "volume"]:
        return _as_strength(number, number.end + 2, number.value)
    if after == ["on", "the", "label"] and number.value >= 15:
        return _as_strength(number, number.end, number.value)
    told = before[-1:] in (["of"], ["at"], ["is"], ["strength"]) or "content" in before
    words = [t.norm for t in bare.tokens[max(bare.first, number.first - 5) : number.first]]
    if told and (set(words) & {"strength", "abv", "content", "proof"}) and ends(bare, number):
        return _as_strength(number, number.end, number.value)
    if before[-1:] == ["at"] and ends(bare, number) and _is_of_spirit(bare, number, words):
        return _as_strength(number, number.end, number.value)
    return None


def _is_of_spirit(bare: Bare, number: SaidNumber, words: Sequence[str]) -> bool:
    """Whether what is "at forty-six" is a spirit, and no amount or temperature is spoken of."""
    is_high = number.value >= 15
    if "bottled" in words[-2:]:
        return is_high
    if any(quantity.kind in ("amount", "temperature") for quantity in bare.quantities):
        return False
    return is_high and (bool(set(words) & SPIRITS) or "bottled" in words)


def _as_strength(number: SaidNumber, end: int, percent: float) -> Quantity:
    return Quantity("strength", number.first, end, percent, percent, "%")


def as_ranges(bare: Bare, found: Sequence[Quantity]) -> list[Quantity]:
    """ "between minus four and minus two" is one range."""
    ranges: list[Quantity] = []
    for quantity in found:
        last = ranges[-1] if ranges else None
        joined = last is not None and quantity.first - last.end == 1 and last.kind == quantity.kind
        if last is not None and joined and last.low < quantity.low:
            joint = bare.tokens[last.end].norm
            before = bare.tokens[last.first - 1].norm if last.first else ""
            if joint in ("to", "or") or (joint == "and" and before in ("between", "from")):
                ranges[-1] = replace(last, end=quantity.end, high=quantity.high)
                continue
        ranges.append(_stretched(bare, quantity))
    return ranges


def _stretched(bare: Bare, quantity: Quantity) -> Quantity:
    """ "I serve it at two or three": a number right behind an "or" ends the range."""
    for number in bare.numbers:
        is_next = number.first == quantity.end + 1 and bare.tokens[quantity.end].norm == "or"
        is_more = quantity.high < number.value <= quantity.high * 1.5 + 1
        if is_next and is_more and quantity.kind in ("temperature", "strength"):
            return replace(quantity, end=number.end, high=number.value)
    return quantity


STRONG_MARKS = frozenset(";:.!?\n")
"""Marks that part more than a list does."""


def closes(bare: Bare, number: SaidNumber) -> bool:
    """Whether a strong mark ends the clause behind a number: "agave syrup, thirty; it's …"."""
    return number.end >= bare.end or bool(STRONG_MARKS & set(bare.tokens[number.end].gap))


def begins_at(bare: Bare, number: SaidNumber) -> int:
    """Where the clause of a number begins behind a strong mark."""
    at = number.first
    while at > bare.first and not STRONG_MARKS & set(bare.tokens[at].gap):
        at -= 1
    return at


def ends(bare: Bare, number: SaidNumber) -> bool:
    """Whether a clause ends behind it, or goes on with a small word."""
    after = norms(bare, number.end, 1)
    return not after or (after[0] in GOES_ON and after[0] not in ("of", "more"))


def words_before(bare: Bare, at: int, most: int, *, is_all: bool = False) -> list[str]:
    """The words before a place, as far as no mark parts them; `is_all`: whatever parts them."""
    if is_all:
        return [token.norm for token in bare.tokens[max(0, at - most) : at]]
    return unparted_before(bare.tokens, bare.first, at, most)


def norms(bare: Bare, at: int, most: int) -> list[str]:
    """The words from a place on, as far as no mark parts them."""
    return unparted_from(bare.tokens, at, bare.end, most)


def unparted_before(tokens: Sequence[Token], first: int, at: int, most: int) -> list[str]:
    """At most so many words from `first` on that stand before a place with no mark between."""
    words: list[str] = []
    while at > first and len(words) < most and not tokens[at].gap.strip("-"):
        at -= 1
        words.insert(0, tokens[at].norm)
    return words


def unparted_from(tokens: Sequence[Token], at: int, end: int, most: int) -> list[str]:
    """At most so many words up to `end` that stand from a place on with no mark before them."""
    words: list[str] = []
    while at < end and len(words) < most and not tokens[at].gap.strip("-"):
        words.append(tokens[at].norm)
        at += 1
    return words


def word_before(bare: Bare, number: SaidNumber) -> str:
    """The word before a number; empty where a mark parts them or nothing stands there."""
    return "".join(words_before(bare, number.first, 1))
