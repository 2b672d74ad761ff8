"""Which ingredient an amount belongs to."""

from bisect import bisect_left, bisect_right
from collections.abc import Collection, Mapping, Sequence
from typing import TypeVar

from server.domain.base.tokens import Token
from server.domain.claims.mentions import Mention
from server.domain.claims.quantities import Quantity

Placed = TypeVar("Placed", Quantity, Mention)

REACH = 7
"""Most tokens between an amount and the ingredient it is of."""

COMMA = 3
"""How many tokens' distance a comma counts for."""


def attached(
    tokens: Sequence[Token],
    quantities: Sequence[Quantity],
    mentions: Sequence[Mention],
    strange: Collection[Quantity] = (),
) -> Mapping[Quantity, Mention | None]:
    """The mention of the ingredient that each amount or strength belongs to, or None.

    "40 ml of rum, 20 ml of syrup" is read forwards, "rum, 40 ml; syrup, 20 ml" backwards: the
    nearer one wins, a comma between them counts as distance, and each mention is given once.
    Those that are `strange` are of something else and take none.
    """
    named = [mention for mention in mentions if mention.ingredient_ids]
    counted = [quantity for quantity in quantities if quantity.kind in ("amount", "strength")]
    firsts = [quantity.first for quantity in counted]
    pairs = sorted(
        (away, number, mention.first, quantity, mention)
        for number, quantity in enumerate(counted)
        for mention in (_near(quantity, named) if quantity not in strange else ())
        if (away := _distance(tokens, quantity, mention, firsts)) <= REACH
    ) if named and counted else []  # fmt: skip
    owners: dict[Quantity, Mention | None] = dict.fromkeys(counted)
    given: set[tuple[int, str]] = set()
    for quantity, mention in _in_step(tokens, counted, named) if not strange else ():
        owners[quantity] = mention
        given.add((mention.first, quantity.kind))
    for _, _, place, quantity, mention in pairs:
        if owners[quantity] is None and (place, quantity.kind) not in given:
            owners[quantity] = mention
            given.add((place, quantity.kind))
    return owners


def _in_step(
    tokens: Sequence[Token], counted: Sequence[Quantity], named: Sequence[Mention]
) -> list[tuple[Quantity, Mention]]:
    """ "sixty, forty and twenty millilitres of tea, gin and lime", "gin and lime: 40 and 20 ml": as
    many names as amounts, one for each in their order.
    """
    amounts, names = _lists(tokens, counted), _lists(tokens, named)
    found: list[tuple[Quantity, Mention]] = []
    for several in amounts:
        beside = (
            group
            for group in names
            if len(group) == len(several) > 1
            and (
                0 <= group[0].first - several[-1].end <= 2
                or 0 <= several[0].first - group[-1].end <= 3
            )
        )
        group = next(beside, None)
        if group is not None:
            found += zip(several, group, strict=True)
    return found


def _lists(tokens: Sequence[Token], parts: Sequence[Placed]) -> list[list[Placed]]:
    """Parts grouped into lists: those with nothing but a comma, "and" or "the" between them."""
    lists: list[list[Placed]] = []
    for part in parts:
        between = tokens[lists[-1][-1].end : part.first] if lists else ()
        gaps = (
            {token.gap for token in tokens[lists[-1][-1].end : part.first + 1]} if lists else set()
        )
        small = all(token.norm in ("and", "the", "und", "et", "y", "e") for token in between)
        if lists and len(between) <= 2 and small and gaps <= {"", ","}:
            lists[-1].append(part)
        else:
            lists.append([part])
    return lists


THINGS = frozenset(
    [
        "water", "kettle", "glass", "glasses", "cup", "cups", "room", "freezer", "fridge", "oven",
        "machine", "ice", "bath", "plate", "tray", "milk", "shaker", "jug", "steam", "cellar", "it",
        "drink", "drinks", "you", "judges", "steeped", "brewed", "infused", "heated", "cooled",
        "boiled", "steep", "brew", "infuse", "heat", "roasted", "toast", "roast", "toasted",
        "blanch", "temperature"
    ]
)  # fmt: skip
"""A temperature nearer to one of these is its, or that of making, not an ingredient's."""


def whose_warmths(
    tokens: Sequence[Token], first: int, quantities: Sequence[Quantity], mentions: Sequence[Mention]
) -> dict[Quantity, Mention | None]:
    """The ingredient that each temperature of a stretch is of: "tea and tonic, at four and three
    degrees" in their order, else each by itself.
    """
    warm = [quantity for quantity in quantities if quantity.kind == "temperature"]
    named = [mention for mention in mentions if mention.ingredient_ids]
    in_step = dict(_in_step(tokens, warm, named)) if len(warm) > 1 else {}
    return {
        quantity: in_step.get(quantity) or whose_warmth(tokens, first, quantity, mentions)
        for quantity in warm
    }


def whose_warmth(
    tokens: Sequence[Token], first: int, quantity: Quantity, mentions: Sequence[Mention]
) -> Mention | None:
    """The ingredient that a temperature is of: the one named last before it in its clause, or
    right behind it ("six degrees for the cream"); None where it is of something else.
    """
    named = {at: one for one in mentions if one.ingredient_ids for at in range(one.first, one.end)}
    for at in range(quantity.first - 1, max(first, quantity.first - REACH - 3) - 1, -1):
        if set(tokens[at + 1].gap) & set(".!?;:"):
            break
        if at in named and not (tokens[at].norm in THINGS and named[at].end - named[at].first == 1):
            return named[at]
        if tokens[at].norm in THINGS:
            return None
    return None


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
    # "The rye at fifty percent": what is "at" a strength stands before it.
    says_at = quantity.first > 0 and tokens[quantity.first - 1].norm == "at"
    if quantity.kind == "strength" and forwards and (right - left > 2 or says_at):
        return REACH + 1
    if forwards and _refers_back(tokens, left, mention):
        return REACH + 1
    # "of" right behind the amount names what it is of.
    names_it = forwards and left < right and tokens[left].norm in ("of", "de", "di", "von")
    away = right - left + COMMA * len([mark for mark in gaps if mark in ",:"])
    # "of gin forty, of tea sixty": told in that order throughout.
    at = mention.first - 1
    at -= at > 0 and tokens[at].norm in ("the", "my", "our")
    is_of = not forwards and at >= 0 and tokens[at].norm == "of"
    return -1 if (names_it and right - left <= 3) or (is_of and away == 0) else away


def _refers_back(tokens: Sequence[Token], at: int, mention: Mention) -> bool:
    """Whether the words behind an amount end what it is told of: "eighty of that, …", "fifteen,
    because the whey is tart"; not "eighty of that rum".
    """
    if tokens[at].norm == "of" and at + 1 < mention.first:
        that = tokens[at + 1].norm
        return that in ("it", "them") or (that in _THAT and mention.first > at + 2)
    return bool(tokens[at].gap) and tokens[at].norm in _REASONS


_THAT = frozenset({"that", "this", "these", "those"})
_REASONS = frozenset({"because", "since", "although", "though", "but", "so"})


_FARTHEST_OF = 3


def pair_of(tokens: Sequence[Token], ratio: Quantity, mentions: Sequence[Mention]) -> list[Mention]:
    """The ingredients that a ratio is of: the two named next behind it, else those before it."""
    named = [one for one in mentions if one.ingredient_ids]
    if ratio.end < len(tokens) and tokens[ratio.end].norm == "as":
        # "Twice as much rye as vermouth and five times as much as amaro": of the rye.
        subject = [one for one in named if one.end <= ratio.first][:1]
        return [*subject, *[one for one in named if one.first >= ratio.end][:1]]
    behind = [one for one in named if one.first >= ratio.first][:2]
    if len(behind) == 2 and behind[0].first < ratio.end < behind[1].first - _FARTHEST_OF:
        # "Three parts honey to one of water" names one thing within it, and the other at once.
        behind = [one for one in named if one.first >= ratio.end][:2]
    before = [one for one in named if one.end <= ratio.first][-2:]
    return behind if len(behind) == 2 or not before else before
