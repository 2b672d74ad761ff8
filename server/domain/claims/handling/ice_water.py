"""How much water the ice adds: "about twenty percent dilution", "a fifth of it is melted ice".

A dilution is told of the volume before, as the recipe has it, or of what is in the glass: either
holds, unless the words say which. English.

>>> is_of_ice_water(("the", "dilution", "is"), ("and", "i", "weighed", "it"))
True
>>> is_of_ice_water(("it's", "at"), ("before", "dilution")), is_of_ice_water((), ("sugar", "water"))
(False, False)
"""

import re
from collections.abc import Sequence
from itertools import pairwise

from server.domain.base.tokens import Token, norms_kept
from server.domain.claims.backing import Judgement
from server.domain.claims.compare_amounts import range_words, within
from server.domain.claims.facts import ICE_WATER, OF_ALL, GlassFacts, KnownNumber
from server.domain.claims.mentions import Mention
from server.domain.claims.quantities import Quantity
from server.domain.claims.said_numbers import SaidNumber
from server.domain.claims.spoken.around import Stretch
from server.domain.claims.spoken.bare import STRONG_MARKS, Bare, begins_at, norms
from server.domain.claims.spoken.bounds import bound_of
from server.domain.glass.figure_text import carried_digits
from server.domain.routine.tolerance import Tolerance

FROM_ICE = "water from the ice"
"""What such a per cent is said to be of."""

_CUES = frozenset({"meltwater", "ice", "water"})
_ALCOHOL = frozenset({"alcohol", "abv", "strength", "proof", "vol", "strong", "ethanol"})
_WHEN = frozenset({"before", "after", "without", "pre", "post", "any"})
"""Right before "dilution" these tell when, and not how much."""

_ICY = {
    "ice", "melts", "stir", "stirs", "stirring", "stirred", "shake", "shakes", "shaking", "shaken",
    "dilution", "taken", "takes", "take", "picks", "picked",
}  # fmt: skip
_GIVES = frozenset(
    {
        "add", "adds", "added", "gives", "give", "puts", "put", "brings", "contributes", "into",
    }
)  # fmt: skip
_LEADS = frozenset(
    {
        "is", "of", "at", "to", "hits", "reaches", "about", "around", "roughly", "nearly", "comes",
        "somewhere", "stays", "sits", "a", "the", "just", "only", "lands", "say", "maybe", "almost",
        "in", "with", "should", "be", "will", "for", "near", "on", "under", "over", "goes", "gets",
        "up", "ends", "between", "here", "i", "we", "want", "need", "like", "get", "take", "aim",
        "this", "drink", "works", "out", "was", "by", "it's",
    }
)  # fmt: skip
"""What stands between "dilution" and its number."""

_WHOLE = frozenset(
    {
        "it", "drink", "cocktail", "glass", "volume", "what", "this", "that", "everything", "whole",
        "total", "cup", "coupe", "serve", "sip", "mix", "all", "liquid", "you", "you're", "you'll",
        "sour", "punch",
    }
)  # fmt: skip
"""Of one of these a part may be water."""

_ARTICLES = frozenset({"the", "your", "my", "our", "its", "a", "each", "every", "an", "it's"})
"""Small words before what a part is of; "its" is read as "it's"."""
_LARGEST_PART = 0.75
_LEAST, _MOST = 5.0, 90.0
_FARTHEST = 12


def is_of_ice_water(before: Sequence[str], behind: Sequence[str]) -> bool:
    """Whether a per cent or a part with such words around it is one of water that ice adds."""
    words = (*before, *behind)
    if not _ALCOHOL.isdisjoint(words):
        return False
    return (
        _is_dilution(before, behind)
        or (_is_water(behind) and not _ICY.isdisjoint(words))
        or "meltwater" in words
        or ("melted", "ice") in pairwise(words)
        or _comes_of_ice(before)
        or _comes_of_ice(behind)
    )


def _is_dilution(before: Sequence[str], behind: Sequence[str]) -> bool:
    after = [word for word in behind[:3] if word not in ("of", "a", "the", "total", "more")]
    if after[:1] == ["dilution"]:
        return True
    is_thinned = any(map(_thins, before)) or {"water", "down"} <= set(before)
    if "by" in before[-3:] and is_thinned:
        return True
    for at in range(len(before) - 1, -1, -1):
        if before[at].removesuffix("'s") == "dilution":
            return at == 0 or before[at - 1] not in _WHEN
        if before[at] not in _LEADS:
            return False
    return False


def _thins(word: str) -> bool:
    """ "Diluted by", "watered down by", "the ice stretches it by"."""
    return word.startswith(("dilute", "thin", "watered", "waters", "stretch", "lengthen"))


def _is_water(behind: Sequence[str]) -> bool:
    after = [word for word in behind[:5] if word not in ("of", "in", "it's", "volume", "more")]
    return after[:1] == ["water"]


def _comes_of_ice(said: Sequence[str]) -> bool:
    """ "Is what the ice adds", "the ice gives it ten percent", "came off the ice"."""
    for at, word in enumerate(said):
        ahead = [one for one in said[max(0, at - 2) : at] if one not in _ARTICLES]
        is_from = ahead[-1:] in (["from"], ["off"])
        if word == "ice" and (is_from or not _GIVES.isdisjoint(said[at + 1 : at + 3])):
            return True
    return False


def ice_water_in(bare: Bare) -> list[Quantity]:
    """The bare numbers of a sentence that are of such water: "a fifth of your glass is meltwater",
    "diluted by a third", "once the dilution hits twenty-two".
    """
    if bare.lang.code != "en":
        return []
    words = [token.norm for token in bare.tokens[bare.first : bare.end]]
    if not any(one in _CUES or one.startswith(("dilut", "thin")) for one in words):
        return []
    return [made for one in bare.numbers if (made := _made(bare, one)) is not None]


def with_small_parts(
    tokens: Sequence[Token], numbers: Sequence[SaidNumber]
) -> Sequence[SaidNumber]:
    """The numbers of a text with "a fifth of it", "two fifths of the drink": elsewhere such a word
    is an ordinal as often.
    """
    counts = {one.end: one for one in numbers}
    found = []
    for at in range(1, len(tokens) - 2):
        part = _PARTS.get(tokens[at].norm.removesuffix("s"))
        behind = tuple(token.norm for token in tokens[at + 1 : at + 5])
        if part is None or tokens[at].gap.strip("-") or not _is_of_whole(behind):
            continue
        if at in counts and counts[at].value == int(counts[at].value):
            found.append(SaidNumber(counts[at].first, at + 1, counts[at].value * part))
        elif tokens[at - 1].norm == "a":
            found.append(SaidNumber(at - 1, at + 1, part))
    if not found:
        return numbers
    taken = {one.first for one in found}
    kept = [one for one in numbers if one.first not in taken]
    return sorted([*kept, *found], key=lambda one: one.first)


_PARTS = {"fifth": 1 / 5, "sixth": 1 / 6, "seventh": 1 / 7, "eighth": 1 / 8, "tenth": 1 / 10}


def _made(bare: Bare, number: SaidNumber) -> Quantity | None:
    span = begins_at(bare, number), bare.end
    end, value = number.end, number.value
    if 0 < value <= _LARGEST_PART:
        # The "of" and the article behind a fraction are read as part of its number.
        while end > number.first + 1 and bare.tokens[end - 1].norm in ("of", *_ARTICLES):
            end -= 1
        before, behind = _around(bare.tokens, number.first, end, span)
        is_share = _is_of_whole(behind) or _makes_up(before)
        if not _is_dilution(before, behind) and not (is_share and is_of_ice_water(before, behind)):
            return None
        value = round(value * 100, 2)
    elif (
        not _LEAST <= value <= _MOST
        or norms(bare, end, 1)
        or not _is_dilution(*_around(bare.tokens, number.first, end, span))
    ):
        return None
    if _is_of_part(bare.tokens, number.first, bare.mentions):
        return None
    bound = bound_of(bare.tokens, number.first, end, bare.lang)
    return Quantity("strength", number.first, end, value, value, "%", bound=bound)


def _is_of_part(tokens: Sequence[Token], first: int, mentions: Sequence[Mention]) -> bool:
    """ "I dilute the honey by a third": what is thinned is a part, and by no ice."""
    begin = max(0, first - _FARTHEST)
    at = next((n for n in range(first - 1, begin, -1) if _thins(tokens[n].norm)), None)
    return at is not None and any(
        one.ingredient_ids and at - _FARTHEST_SUBJECT <= one.first < first for one in mentions
    )


_FARTHEST_SUBJECT = 4


def ice_water_of(
    tokens: Sequence[Token],
    quantities: Sequence[Quantity],
    mentions: Sequence[Mention],
    span: tuple[int, int],
) -> dict[Quantity, str]:
    """The per cents of a sentence (first token, end) that are of such water, each with its name."""
    return {
        each: FROM_ICE
        for each in quantities
        if each.kind == "strength"
        and _is_told(tokens, each, span)
        and not _is_of_part(tokens, each.first, mentions)
    }


def _is_told(tokens: Sequence[Token], said: Quantity, span: tuple[int, int]) -> bool:
    """Whether a strength is of such water; a bare number only where "dilution" names it."""
    around = _around(tokens, said.first, said.end, span)
    is_bare = _UNITS.isdisjoint(token.norm for token in tokens[said.first : said.end])
    return _is_dilution(*around) if is_bare else is_of_ice_water(*around)


_UNITS = {
    "%",
    "percent",
    "per",
    "cent",
    "pct",
    "half",
    "third",
    "thirds",
    "quarter",
    "quarters",
} | {form for part in _PARTS for form in (part, f"{part}s")}


def _around(
    tokens: Sequence[Token], first: int, end: int, span: tuple[int, int]
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The words before and behind a number, as far as no strong mark parts them from it."""
    begin = first
    while begin > max(span[0], first - _FARTHEST) and STRONG_MARKS.isdisjoint(tokens[begin].gap):
        begin -= 1
    if tokens[first].gap.strip() == ":":
        # "Dilution: thirty percent."
        begin = max(span[0], first - 1)
    until = end
    last = min(span[1], end + _FARTHEST)
    while until < last and STRONG_MARKS.isdisjoint(tokens[until].gap):
        until += 1
    before, behind = tokens[begin:first], tokens[end:until]
    return tuple(one.norm for one in before), tuple(one.norm for one in behind)


def _is_of_whole(behind: Sequence[str]) -> bool:
    """ "… of it", "… of your glass", "… of what you drink"."""
    rest = [word for word in behind[1:4] if word not in _ARTICLES]
    return behind[:1] == ("of",) and bool(rest) and rest[0] in _WHOLE


def _makes_up(before: Sequence[str]) -> bool:
    return "up" in before[-4:] and not {"makes", "make", "made"}.isdisjoint(before)


def ice_water_judged(told: Stretch, facts: Sequence[GlassFacts], tolerance: Tolerance) -> Judgement:
    """The state of a per cent that is said to be of such water."""
    find = told.find
    said = find.low or 0.0, find.high or 0.0
    spoken = f"{range_words(*said)} % {FROM_ICE}"
    known = [n for fact in facts for n in fact.numbers if n.about == ICE_WATER]
    behind = tuple(norms_kept(told.text[find.end - find.sentence_start :]))
    meant = [n for n in known if n.label == OF_ALL] if _is_of_whole(behind) else known
    # "A fifth" is a round figure, said for want of a nearer one.
    is_about = find.bound == "about" or _PERCENT.search(find.phrase) is None
    ratio = tolerance.about_ratio if is_about else tolerance.amount_ratio
    for number in meant:
        slack = max(tolerance.strength_points, ratio * number.high)
        if within(find, said, (number.low, number.high), slack):
            why = f"You say {spoken}; {_value(number)}, within {slack:.2g} points."
            return Judgement("backed", why)
    if not meant:
        why = f"You say {spoken}; what the ice adds is not on record."
        return Judgement("unbacked", why, is_checked=False)
    held = meant[0]
    slack = max(tolerance.strength_points, ratio * held.high)
    why = f"You say {spoken}, {_value(held)}: more than {slack:.2g} points off."
    return Judgement("contradicted", why, held=held)


_PERCENT = re.compile(r"%|per\s?cent|pct|\d", re.IGNORECASE)


def _value(number: KnownNumber) -> str:
    digits = carried_digits(number.low, number.high, 1)
    told = range_words(round(number.low, digits), round(number.high, digits))
    return f"computed {told} % {number.label}"
