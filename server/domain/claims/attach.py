"""Which ingredient an amount belongs to."""

from bisect import bisect_left, bisect_right
from collections.abc import Mapping, Sequence

from server.domain.base.words import Token
from server.domain.claims.mentions import Mention
from server.domain.claims.quantities import Quantity

REACH = 7
"""Most tokens between an amount and the ingredient it is of."""

COMMA = 3
"""How many tokens' distance a comma counts for."""


def attached(
    tokens: Sequence[Token], quantities: Sequence[Quantity], mentions: Sequence[Mention]
) -> Mapping[Quantity, Mention | None]:
    """The mention of the ingredient that each amount or strength belongs to, or None.

    "40 ml of rum, 20 ml of syrup" is read forwards, "rum, 40 ml; syrup, 20 ml" backwards: the
    nearer one wins, a comma between them counts as distance, and each mention is given once.
    """
    named = [mention for mention in mentions if mention.ingredient_ids]
    counted = [quantity for quantity in quantities if quantity.kind in ("amount", "strength")]
    firsts = [quantity.first for quantity in counted]
    pairs = sorted(
        (away, number, mention.first, quantity, mention)
        for number, quantity in enumerate(counted)
        for mention in _near(quantity, named)
        if (away := _distance(tokens, quantity, mention, firsts)) <= REACH
    ) if named and counted else []  # fmt: skip
    owners: dict[Quantity, Mention | None] = dict.fromkeys(counted)
    given: set[tuple[int, str]] = set()
    for _, _, place, quantity, mention in pairs:
        if owners[quantity] is None and (place, quantity.kind) not in given:
            owners[quantity] = mention
            given.add((place, quantity.kind))
    return owners


def _near(quantity: Quantity, named: Sequence[Mention]) -> Sequence[Mention]:
    """Those of ordered mentions that may be within reach at all."""
    begin = bisect_left(named, quantity.first - REACH, key=lambda mention: mention.end)
    stop = bisect_right(named, quantity.end + REACH, key=lambda mention: mention.first)
    return named[begin:stop]


def _distance(
    tokens: Sequence[Token], quantity: Quantity, mention: Mention, amounts: Sequence[int]
) -> int:
    """Tokens between the two, with what a comma counts; beyond reach across another amount.

    `amounts` are the first tokens of all amounts, in order.
    """
    forwards = mention.first >= quantity.end
    left, right = (quantity.end, mention.first) if forwards else (mention.end, quantity.first)
    if right < left or bisect_left(amounts, left) < bisect_left(amounts, right):
        return REACH + 1
    gaps = "".join(tokens[at].gap for at in range(left, min(right + 1, len(tokens))))
    if set(gaps) & set(".!?;()"):
        return REACH + 1
    # "of" right behind the amount names what it is of.
    names_it = forwards and left < right and tokens[left].norm in ("of", "de", "di", "von")
    away = right - left + COMMA * len([mark for mark in gaps if mark in ",:"])
    return 0 if names_it and right - left <= 3 else away


def pair_of(ratio: Quantity, mentions: Sequence[Mention]) -> list[Mention]:
    """The ingredients that a ratio is of: the two named next behind it, else those before it."""
    named = [one for one in mentions if one.ingredient_ids]
    behind = [one for one in named if one.first >= ratio.first][:2]
    before = [one for one in named if one.end <= ratio.first][-2:]
    return behind if len(behind) == 2 or not before else before
