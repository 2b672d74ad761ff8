"""Numbers whose unit is said elsewhere, or goes without saying.

"Sixty millilitres of tea, ten of syrup", "gin and lime: forty and twenty millilitres", "the coffee
is at eighty" behind a temperature, "minus four", "a gin at forty-six".
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from server.domain.base.languages import Language
from server.domain.base.words import Token
from server.domain.claims.mentions import Mention
from server.domain.claims.numbers import Number
from server.domain.claims.quantities import Quantity
from server.domain.claims.spoken.bounds import bound_of

LENT = ("amount", "temperature", "strength")
"""Kinds of quantities that lend their unit to a bare number."""

COLDEST_C = -80.0
LEAST_ABV, MOST_ABV = 5.0, 96.0

SPIRITS = frozenset(
    "gin rum whisky whiskey brandy vodka tequila mezcal spirit spirits liqueur bitters bourbon rye "
    "grappa pisco aquavit absinthe vermouth distillate liquor cachaça arrack eau".split()
)  # fmt: skip
STRENGTH = frozenset({"strength", "abv", "alcohol", "proof", "vol"})
SITS = frozenset({"at", "is", "bottled"})

_OF = frozenset("of vom von de del di da do d".split())
_ARTICLES = frozenset(
    "the a an my our this that your each der die das dem den meinem la le les el los las il lo gli "
    "i o os as".split()
)  # fmt: skip
_IS = frozenset(
    "is are at was goes stands comes sits ist sind est sont es son è sono é são".split()
)
_SHARED = frozenset("in out for each per all altogether total pro je pour por para".split())
_TAKES = frozenset(
    "get gets makes make is have so just only take takes use add with then and to says reads "
    "shows".split()
)  # fmt: skip
_TO = frozenset({"at", "to", "is", "auf", "bei", "à", "a"})
_GOES_ON = frozenset(
    "of in out for per each and to on into go goes then all at from as with but or because so "
    "which that it gives is when while by before after over again more if straight und y et e".split()
)  # fmt: skip
"""Words that may follow a bare number; any other counts something of its own."""


@dataclass(frozen=True)
class Bare:
    """A sentence with numbers that have no unit."""

    tokens: Sequence[Token]
    first: int
    end: int
    numbers: Sequence[Number]
    """Numbers of the sentence that belong to no quantity yet, in order."""
    quantities: Sequence[Quantity]
    mentions: Sequence[Mention]
    carried: Quantity | None
    """The last amount of the sentences before."""
    is_named_before: bool
    """Whether the sentence before is a short one that ends with an ingredient: "And lime."."""
    lang: Language


def elliptic(bare: Bare) -> list[Quantity]:
    """The quantities that bare numbers of a sentence stand for, in order."""
    found: list[Quantity] = []
    for number in reversed(bare.numbers):
        quantity = (
            _below_zero(bare, number) or _strength(bare, number) or _lent(bare, found, number)
        )
        if quantity is not None:
            found.insert(0, quantity)
    return _as_ranges(bare, found)


def _below_zero(bare: Bare, number: Number) -> Quantity | None:
    """ "minus four": only a temperature is below nothing."""
    if not COLDEST_C <= number.value < 0:
        return None
    before = bare.tokens[number.first - 1] if number.first > bare.first else None
    if before is not None and before.is_number:
        return None
    bound = bound_of(bare.tokens, number.first, number.end, bare.lang)
    value = number.value
    return Quantity("temperature", number.first, number.end, value, value, "C", bound=bound)


def _strength(bare: Bare, number: Number) -> Quantity | None:
    """ "a strength of 46", "at forty-six ABV", "the gin is at forty-six", "ninety-two proof"."""
    if bare.lang.code != "en":
        return None
    after = _norms(bare, number.end, 3)
    before = [t.norm for t in bare.tokens[max(bare.first, number.first - 3) : number.first]]
    if after[:1] == ["proof"] and 10 <= number.value <= 192:
        return _of_strength(number, number.end + 1, number.value / 2)
    if not LEAST_ABV <= number.value <= MOST_ABV:
        return None
    if after[:1] and after[0] in STRENGTH:
        return _of_strength(number, number.end + 1, number.value)
    if after[:2] == ["by", "volume"]:
        return _of_strength(number, number.end + 2, number.value)
    told = before[-1:] in (["of"], ["at"], ["is"]) or "content" in before
    words = [t.norm for t in bare.tokens[max(bare.first, number.first - 5) : number.first]]
    if told and (set(words) & {"strength", "abv", "content", "proof"}) and _ends(bare, number):
        return _of_strength(number, number.end, number.value)
    if before[-1:] == ["at"] and _ends(bare, number) and _is_of_spirit(bare, number, words):
        return _of_strength(number, number.end, number.value)
    return None


def _is_of_spirit(bare: Bare, number: Number, words: Sequence[str]) -> bool:
    """Whether what is "at forty-six" is a spirit, and no amount or temperature is spoken of."""
    if any(quantity.kind in ("amount", "temperature") for quantity in bare.quantities):
        return False
    is_high = number.value >= 15
    return is_high and (bool(set(words) & SPIRITS) or "bottled" in words)


def _of_strength(number: Number, end: int, percent: float) -> Quantity:
    return Quantity("strength", number.first, end, percent, percent, "%")


def _lent(bare: Bare, later: Sequence[Quantity], number: Number) -> Quantity | None:
    """The number with the unit of another quantity, where its place shows that it is one more."""
    named = _is_named(bare, number)
    listed = _next_in_list(bare, later, number)
    if listed is not None:
        return _with_unit(bare, number, listed)
    source = _lender(bare, later, number)
    if source is None:
        carries = named and bare.carried is not None and _is_fragment(bare, number)
        carries = carries or (_is_after_name(bare, number) or _is_on_scale(bare, number))
        return _with_unit(bare, number, bare.carried) if carries and bare.carried else None
    if not _may_stand(bare, number):
        return None
    if named or _is_shared(bare, number, source):
        return _with_unit(bare, number, source)
    return None


def _lender(bare: Bare, later: Sequence[Quantity], number: Number) -> Quantity | None:
    """The quantity whose unit is meant: before it in the sentence, else behind it.

    "At" speaks of temperatures and strengths, "of" of amounts, where the sentence has both.
    """
    every = [q for q in (*bare.quantities, *later) if q.kind in LENT]
    before = [q for q in every if q.end <= number.first]
    behind = [q for q in every if q.first >= number.end]
    ordered = [*reversed(before), *behind]
    says_at = _word_before(bare, number) in ("at", "to", "auf", "bei")
    says_of = _norms(bare, number.end, 1)[:1] and _norms(bare, number.end, 1)[0] in _OF
    if says_of:
        ordered.sort(key=lambda q: q.kind != "amount")
    elif says_at:
        ordered.sort(key=lambda q: q.kind == "amount")
    return ordered[0] if ordered else None


def _is_named(bare: Bare, number: Number) -> bool:
    """Whether an ingredient stands right behind it ("ten of syrup") or before it ("tea, ten")."""
    behind = _past(bare, _past(bare, number.end, _OF), _ARTICLES)
    for mention in bare.mentions:
        if not mention.ingredient_ids:
            continue
        if mention.first == behind and _is_open(bare, number.end, mention.first):
            return number.value != 1 or behind > number.end
        if mention.end <= number.first and _leads_to(bare, mention.end, number.first):
            return number.value != 1
    return False


def _leads_to(bare: Bare, at: int, first: int) -> bool:
    """ "tea, sixty", "the tea is at sixty", "lime at twenty"."""
    between = [token.norm for token in bare.tokens[at:first]]
    return len(between) <= 3 and all(word in _IS or word == "and" for word in between)


def _is_shared(bare: Bare, number: Number, source: Quantity) -> bool:
    """ "… in and thirty-six out", "so sixty for the two", "cooled down to five"."""
    if source.end > number.first:
        return False
    after, before = _norms(bare, number.end, 1), _word_before(bare, number)
    is_one = number.value == 1 and number.is_word
    if source.kind == "amount":
        if is_one or before in ("at", "to", "from", "or"):
            return False
        if after and after[0] in _SHARED:
            return True
        return (before in _TAKES or before == "") and _ends(bare, number)
    return before in _TO and _ends(bare, number)


def _next_in_list(bare: Bare, later: Sequence[Quantity], number: Number) -> Quantity | None:
    """The quantity that a list of numbers runs into: "sixty, forty and twenty millilitres"."""
    at = number.end
    if at < bare.end and bare.tokens[at].norm in ("and", "und", "et", "y", "e"):
        at += 1
    elif at >= bare.end or bare.tokens[at].gap != ",":
        return None
    following = (*bare.quantities, *later)
    return next((q for q in following if q.first == at and q.kind in LENT), None)


def _with_unit(bare: Bare, number: Number, source: Quantity) -> Quantity:
    bound = bound_of(bare.tokens, number.first, number.end, bare.lang)
    return replace(
        source,
        first=number.first,
        end=number.end,
        low=number.value,
        high=number.value,
        also=number.also,
        bound=bound,
        is_slip=False,
    )


def _as_ranges(bare: Bare, found: Sequence[Quantity]) -> list[Quantity]:
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
        ranges.append(quantity)
    return ranges


def _may_stand(bare: Bare, number: Number) -> bool:
    """Whether what follows is not something that the number counts."""
    after = _norms(bare, number.end, 1)
    if not after or after[0] in _GOES_ON or after[0] in _OF or after[0] in _SHARED:
        return True
    return any(m.first == number.end and m.ingredient_ids for m in bare.mentions)


def _ends(bare: Bare, number: Number) -> bool:
    """Whether a clause ends behind it, or goes on with a small word."""
    after = _norms(bare, number.end, 1)
    return not after or (after[0] in _GOES_ON and after[0] not in ("of", "more"))


def _is_after_name(bare: Bare, number: Number) -> bool:
    """ "And lime. Twenty, no more.": a number that begins the sentence behind a name."""
    return bare.is_named_before and number.first == bare.first and not _norms(bare, number.end, 1)


def _is_on_scale(bare: Bare, number: Number) -> bool:
    """ "until the scale says three hundred"."""
    near = {token.norm for token in bare.tokens[max(bare.first, number.first - 4) : number.first]}
    return "scale" in near and _ends(bare, number)


def _is_fragment(bare: Bare, number: Number) -> bool:
    """A short piece that is nothing but a name and its number."""
    return bare.end - bare.first <= 8 and _may_stand(bare, number)


def _word_before(bare: Bare, number: Number) -> str:
    at = number.first - 1
    if at < bare.first or bare.tokens[number.first].gap.strip("-"):
        return ""
    return bare.tokens[at].norm


def _norms(bare: Bare, at: int, most: int) -> list[str]:
    """The words from a place on, as far as no mark parts them."""
    words: list[str] = []
    while at < bare.end and len(words) < most and not bare.tokens[at].gap.strip("-"):
        words.append(bare.tokens[at].norm)
        at += 1
    return words


def _past(bare: Bare, at: int, words: frozenset[str]) -> int:
    return at + 1 if at < bare.end and bare.tokens[at].norm in words else at


def _is_open(bare: Bare, at: int, first: int) -> bool:
    return not any(token.gap.strip("-'") for token in bare.tokens[at : first + 1])
