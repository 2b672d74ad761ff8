"""Counts of other things than serves: ingredients, shakes, turns of the spoon, pours of water."""

from collections.abc import Collection, Sequence

from server.domain.base.languages import Language
from server.domain.base.tokens import Token, places_of
from server.domain.claims.quantities import Quantity
from server.domain.claims.said_numbers import SaidNumber
from server.domain.claims.spoken.bounds import bound_of
from server.domain.claims.spoken.repeats import repeats_in

COUNTED = {
    "ingredient": (
        "ingredients", "components", "zutaten", "ingrédients", "ingredientes", "ingredienti",
    ),
    "shake": ("shakes",),
    "stir": ("turns", "stirs", "rotations", "revolutions"),
    "pour": ("pours", "pulses", "stages"),
    "lift": ("lifts",),
    "thread": ("threads",),
    "stroke": ("strokes",),
    "strain": ("passes",),
}  # fmt: skip
"""What is counted -> the words for it in any language."""

_UNITS = {word: unit for unit, words in COUNTED.items() for word in words}
_ONE = {"lift": "lift", "stir": "stir", "turn": "stir"}
"""The same where it is done once."""

_NO_NOUN = frozenset(
    {"it", "i", "you", "we", "he", "she", "they", "that", "which", "and", "or", "one", "then"}
)
"""Between a number and what it counts stands none of these: "past fifteen it turns watery"."""

_THINGS = ("things", "elements", "items", "bits", "materials", "positions", "parts")
_GO_IN = frozenset(
    {"go", "goes", "cup", "glass", "drink", "recipe", "inside", "shaker", "cocktail", "bottle"}
)
_HAS = frozenset(
    {
        "got", "has", "have", "it's", "that's", "are", "there's", "of", "only", "just", "is", "in",
        "use", "need", "from", "with",
    }
)  # fmt: skip
_PLAIN = frozenset({"simple", "small", "little", "good", "honest", "plain", "different"})
_STATES = frozenset({"are", "is", "were", "was", "matter", "happen", "happened"})

MOST_THINGS = 12


def counts_in(
    tokens: Sequence[Token],
    span: tuple[int, int],
    numbers: Sequence[SaidNumber],
    found: Sequence[Quantity],
    lang: Language,
    sizes: Collection[int] = (),
) -> list[Quantity]:
    """The counts of a sentence (first token, end), in order.

    `sizes` are how many ingredients the recipe has, with and without its water and ice.
    """
    busy = places_of(found)
    words = frozenset(token.norm for token in tokens[span[0] : span[1]])
    counted = [
        _counted(tokens, span, number, words, lang, sizes)
        for number in numbers
        if number.first not in busy
    ]
    counts = [quantity for quantity in counted if quantity is not None]
    if lang.code == "en":
        counts += repeats_in(tokens, span, numbers, busy | places_of(counts))
        counts = _without_slips(tokens, sorted(counts, key=lambda each: each.first))
    return counts


def parts_counted(
    tokens: Sequence[Token], found: Sequence[Quantity], sizes: Collection[int]
) -> list[Quantity]:
    """The same quantities, "it's got four parts" read as so many ingredients: where the recipe has
    so many, no other part stands beside, and nothing follows that the parts are of.
    """
    parts = [each for each in found if each.unit == "part"]
    if len(parts) != 1 or parts[0].low not in sizes or parts[0].low < 2:
        return list(found)
    part = parts[0]
    before = tokens[part.first - 1].norm if part.first else ""
    begins = part.first == 0 or bool(tokens[part.first].gap.strip("-"))
    follows = tokens[part.end].norm if part.end < len(tokens) else ""
    if follows in ("of", "to") or not (begins or before in _HAS):
        return list(found)
    count = Quantity("count", part.first, part.end, part.low, part.high, "ingredient")
    return [count if each is part else each for each in found]


def _counted(
    tokens: Sequence[Token],
    span: tuple[int, int],
    number: SaidNumber,
    words: frozenset[str],
    lang: Language,
    sizes: Collection[int],
) -> Quantity | None:
    if number.value != int(number.value) or not 1 <= number.value <= 1000:
        return None
    near = _words_behind(tokens, number.end, span[1])
    for steps, word in enumerate(near[:2]):
        if word in _NO_NOUN:
            break
        if word in _UNITS and number.value > 1:
            return _count(tokens, number, number.end + steps + 1, _UNITS[word], lang)
        once = number.value == 1 and steps == 0 and near[1:2] in ([], ["with"], ["from"])
        if word in _ONE and once:
            return _count(tokens, number, number.end + 1, _ONE[word], lang)
    if lang.code != "en":
        return None
    end = _things(tokens, span, number, words, sizes)
    if end is not None:
        return _count(tokens, number, end, "ingredient", lang)
    unit = _named_before(tokens, span, number)
    return _count(tokens, number, number.end, unit, lang) if unit else None


def _things(
    tokens: Sequence[Token],
    span: tuple[int, int],
    number: SaidNumber,
    words: frozenset[str],
    sizes: Collection[int],
) -> int | None:
    """Where "five things in it" ends; None where it is something else."""
    if not 1 < number.value <= MOST_THINGS:
        return None
    near = _words_behind(tokens, number.end, span[1])
    steps = 1 if near[:1] and near[0] in _PLAIN else 0
    if near[steps : steps + 1] == [] or near[steps] not in _THINGS:
        return None
    end = number.end + steps + 1
    behind = _words_behind(tokens, end, span[1], 6)
    before = tokens[number.first - 1].norm if number.first > span[0] else ""
    begins = number.first == span[0] or bool(tokens[number.first].gap.strip("-"))
    leads = begins or before in _HAS
    if not leads and not _STATES.isdisjoint(behind):
        # "Three things in this drink are brown": of some of them.
        return None
    if words & _GO_IN or behind[:2] in (["in", "it"], ["in", "there"], ["in", "this"]):
        return end
    closes = not behind or behind[0] in ("and", "that's", "so", "in", "no", "i", "it's")
    return end if leads and (closes or begins) and number.value in sizes else None


def _named_before(tokens: Sequence[Token], span: tuple[int, int], number: SaidNumber) -> str:
    """ "How many stirs? Two.", "ingredients are six": what is named before its number."""
    at = number.first - 1
    ends = number.end >= len(tokens) or bool(tokens[number.end].gap.strip("-"))
    if at < 1 or not ends or number.value < 2:
        return ""
    if tokens[at].norm in ("are", "is") and not tokens[at].gap:
        at -= 1
    elif ":" in tokens[number.first].gap:
        # "Number of ingredients: four."
        if [token.norm for token in tokens[at - 2 : at]] != ["number", "of"]:
            return ""
    elif "?" not in tokens[number.first].gap or tokens[at - 1].norm != "many":
        return ""
    return _UNITS.get(tokens[at].norm, "")


def _without_slips(tokens: Sequence[Token], counts: Sequence[Quantity]) -> list[Quantity]:
    """Counts but for those mended at once: "thirty turns, no, sorry, I do forty turns"."""
    kept: list[Quantity] = []
    for count in counts:
        last = kept[-1] if kept else None
        if last is not None and last.unit == count.unit and count.first - last.end <= _MENDS_WITHIN:
            between = {token.norm for token in tokens[last.end : count.first]}
            if between & {"no", "sorry"}:
                kept.pop()
        kept.append(count)
    return kept


_MENDS_WITHIN = 7


def _words_behind(tokens: Sequence[Token], at: int, end: int, most: int = 3) -> list[str]:
    words: list[str] = []
    while at < end and len(words) < most and not tokens[at].gap.strip("-"):
        words.append(tokens[at].norm)
        at += 1
    return words


def _count(
    tokens: Sequence[Token], number: SaidNumber, end: int, unit: str, lang: Language
) -> Quantity:
    bound = bound_of(tokens, number.first, end, lang)
    return Quantity("count", number.first, end, number.value, number.value, unit, bound=bound)
