"""Ratios that are told in parts: "two parts honey to one part water", "half sugar, half water".

>>> from server.domain.base.tokens import tokens_of
>>> from server.domain.claims.quantities import quantities_in
>>> def read(text):
...     tokens = tokens_of(text)
...     return [(one.low, one.high) for one in parts_to_parts(tokens, quantities_in(tokens))]
>>> read("Two parts of honey to one part water."), read("Two parts of honey, one part water.")
([(2.0, 1.0)], [])
"""

from collections.abc import Mapping, Sequence, Set
from itertools import pairwise

from server.domain.base.tokens import Token, words_kept
from server.domain.claims.mentions import Mention
from server.domain.claims.quantities import Quantity
from server.domain.claims.said_numbers import SaidNumber, is_cardinal
from server.domain.claims.spoken.bare import STRONG_MARKS
from server.domain.claims.spoken.by_recipe import RecipeValue
from server.domain.routine.drink import Drink

FARTHEST = 5
"""Most tokens between two parts of one ratio."""

_MIXED = frozenset({"syrup", "cordial", "shrub"})
"""What somebody mixes of two things that the recipe does not list."""

_MADE = frozenset({"made", "cooked", "mixed"})
_SWEET = frozenset({"sugar", "honey", "water", "panela", "muscovado", "demerara"})


def syrups_of(drinks: Sequence[Drink]) -> frozenset[str]:
    """The ids of what is mixed of a sugar and a liquid before it goes into a drink."""
    return frozenset(
        part.id for drink in drinks for part in drink.ingredients if _MIXED & words_kept(part.name)
    )


def ratio(first: int, end: int, low: float, high: float) -> Quantity:
    """A ratio over the tokens `first` to `end`: `low` stands to `high`."""
    return Quantity("ratio", first, end, low, high, "ratio")


def parts_to_parts(tokens: Sequence[Token], found: Sequence[Quantity]) -> list[Quantity]:
    """ "two parts honey to one part water"."""
    parts = [quantity for quantity in found if quantity.unit == "part"]
    return [
        ratio(left.first, right.end, left.low, right.low)
        for left, right in pairwise(parts)
        if right.first - left.end <= FARTHEST and tokens[right.first - 1].norm == "to" and right.low
    ]


def parts_to_one(
    tokens: Sequence[Token],
    span: tuple[int, int],
    numbers: Sequence[SaidNumber],
    found: Sequence[Quantity],
) -> list[Quantity]:
    """ "two parts of honey to one of water": the second time without its noun."""
    parts = {part.end: part for part in found if part.unit == "part"}
    starts = {number.first: number for number in numbers}
    ratios = []
    for end, left in parts.items():
        for at in range(end, min(end + 6, span[1] - 1)):
            right = starts.get(at + 1)
            is_of_number = is_cardinal(tokens[at - 1].norm, "en") and at > end
            if is_of_number or right is None or right.value <= 0:
                # "Three parts honey, one part water, three to one": that is told anew.
                continue
            if tokens[at].norm == "to":
                ratios.append(ratio(left.first, right.end, left.low, right.value))
    return ratios


def parts_of_syrup(
    tokens: Sequence[Token],
    span: tuple[int, int],
    numbers: Sequence[SaidNumber],
    found: Sequence[Quantity],
    mentions: Sequence[Mention],
    topic: Mention | None,
    syrups: Set[str],
) -> list[Quantity]:
    """ "A syrup of two parts sugar and one of water", "half sugar, half water": what a syrup is
    mixed of is a ratio, and no amount of the drink. `topic` is what was named last before,
    `syrups` are the ids of what is mixed so. English.
    """
    ratios = _halves(tokens, span)
    parts = [one for one in found if one.unit == "part"]
    if not parts or not _is_of_mixed(tokens, span[0], parts[0].first, mentions, topic, syrups):
        return ratios
    starts = {number.first: number for number in numbers}
    for left, after in zip(parts, [*parts[1:], None], strict=True):
        if after is not None and _is_joined(tokens, left.end, after.first):
            return [*ratios, ratio(left.first, after.end, left.low, after.low)]
        for at in range(left.end, min(left.end + FARTHEST, span[1] - 1)):
            right = starts.get(at)
            is_of = right is not None and tokens[right.end : right.end + 1] != []
            if right is None or not is_of or tokens[right.end].norm != "of":
                continue
            if _is_joined(tokens, left.end, at) and right.value > 0:
                return [*ratios, ratio(left.first, right.end, left.low, right.value)]
    return ratios


def _is_of_mixed(
    tokens: Sequence[Token],
    first: int,
    at: int,
    mentions: Sequence[Mention],
    topic: Mention | None,
    syrups: Set[str],
) -> bool:
    """Whether the last thing named before a place is one that is mixed, or is "made of" what
    follows.
    """
    before = [one for one in mentions if one.ingredient_ids and one.end <= at]
    named = before[-1] if before else topic
    words = {token.norm for token in tokens[max(first, at - 3) : at]}
    if words & _MADE:
        return True
    return named is not None and not syrups.isdisjoint(named.ingredient_ids)


def _is_joined(tokens: Sequence[Token], left: int, right: int) -> bool:
    """Whether two parts stand beside each other: "two parts sugar, one part water"."""
    if not 0 < right - left <= FARTHEST:
        return False
    return not any(STRONG_MARKS & set(token.gap) for token in tokens[left : right + 1])


def _halves(tokens: Sequence[Token], span: tuple[int, int]) -> list[Quantity]:
    """ "half sugar and half water", "as much sugar as water"."""
    words = [token.norm for token in tokens[span[0] : span[1]]]
    if "half" not in words and "as" not in words:
        return []
    for at, word in enumerate(words):
        here, ahead = span[0] + at, words[at + 1 : at + 5]
        joint = ahead[1:2] == ["and"]
        if word == "half" and ahead[1 + joint : 2 + joint] == ["half"]:
            end = min(here + 4 + joint, span[1])
            return [ratio(here, end, 1.0, 1.0)] if ahead[0] in _SWEET else []
        before = words[at - 1] if at else ""
        if word == "as" and ahead[:1] == ["much"] and ahead[2:3] == ["as"]:
            is_mixed = {ahead[1], *ahead[3:]} <= _SWEET and before not in _FACTORS
            return [ratio(here, here + 4, 1.0, 1.0)] if is_mixed else []
    return []


_FACTORS = frozenset({"half", "twice", "times", "thrice", "not", "third", "quarter"})


def one_of_each(
    tokens: Sequence[Token],
    numbers: Sequence[SaidNumber],
    found: Sequence[Quantity],
    mentions: Sequence[Mention],
    known: Mapping[str, Sequence[RecipeValue]],
    *,
    is_first: bool,
) -> list[Quantity]:
    """ "Two of gin, one of lemon", "two gin to one lemon": small numbers without a unit, of things
    that are poured, are parts; without "of" only where no amount was told before (`is_first`).
    English.
    """
    starts = {one.first: one for one in mentions if _is_poured(one, known)}
    counted = [one for one in numbers if 0 < one.value <= _MOST_PARTS]
    if any(one.unit not in ("part", "ratio") for one in found if one.kind == "amount"):
        # "Thirty millilitres of gin and one of lemon" goes on in its unit.
        return []
    ratios: list[Quantity] = []
    for left, right in pairwise(counted):
        named = [_named_by(tokens, one, starts, is_first=is_first) for one in (left, right)]
        if named[0] is None or named[1] is None or (ratios and left.first < ratios[-1].end):
            continue
        if _is_amount(left, named[0], known) or _is_amount(right, named[1], known):
            continue
        between = tokens[named[0].end : right.first]
        is_next = all(one.norm in ("and", "to", "then") for one in between) and len(between) <= 2
        if is_next and STRONG_MARKS.isdisjoint(tokens[right.first].gap):
            ratios.append(ratio(left.first, right.end, left.value, right.value))
    return ratios


_MOST_PARTS = 4.0
"""Who measures in more parts says so. Ours."""


def _is_amount(
    number: SaidNumber, mention: Mention, known: Mapping[str, Sequence[RecipeValue]]
) -> bool:
    """Whether the recipe has as much of it: "ten lime", of 10 ml."""
    return any(
        number.value in value.values
        for one in mention.ingredient_ids
        for value in known.get(one, ())
        if value.kind == "amount"
    )


def _named_by(
    tokens: Sequence[Token], number: SaidNumber, starts: Mapping[int, Mention], *, is_first: bool
) -> Mention | None:
    """What a number is of: "two of the gin", and "two gin"."""
    at = number.end
    if at >= len(tokens) or tokens[at].gap.strip("-"):
        return None
    if tokens[at].norm != "of":
        return starts.get(at) if is_first else None
    at += 1 + (at + 1 < len(tokens) and tokens[at + 1].norm in ("the", "my", "our"))
    return starts.get(at)


def _is_poured(mention: Mention, known: Mapping[str, Sequence[RecipeValue]]) -> bool:
    units = {
        value.unit
        for one in mention.ingredient_ids
        for value in known.get(one, ())
        if value.kind == "amount"
    }
    return bool(units) and units <= {"ml", "cl", "oz", "g", "part"}
