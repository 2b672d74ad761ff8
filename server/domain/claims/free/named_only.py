"""Substances that are named beside a denial and are not what is denied. English.

>>> from server.domain.base.tokens import tokens_of
>>> def read(text, at):
...     tokens = tokens_of(text)
...     return is_place(tokens, (0, len(tokens)), at)
>>> read("There's no egg in the cream", 5), read("Peanuts aren't nuts", 2), read("No egg", 1)
(True, True, False)
"""

from collections.abc import Collection, Mapping, Sequence

from server.domain.base.tokens import Token
from server.domain.claims.mentions import Mention

_ITS = ("the", "my", "that", "our", "this")
_PARTS_TOO = frozenset({"cream", "milk", "butter", "whey", "egg", "eggs", "sugar", "nuts"})
_SUBJECTS = frozenset(
    {
        "it", "this", "that", "there", "they", "which", "drink", "drinks", "cocktail", "here",
        "what", "these", "one", "both", "either", "neither",
    }
)  # fmt: skip
_CALLS = frozenset(
    {
        "call", "calls", "say", "says", "claim", "claims", "sell", "hear", "tell", "pretend",
        "promise", "believe", "mistake", "advertise", "going",
    }
)  # fmt: skip

FARTHEST_CALLED = 11
"""Most tokens between what denies and what something is not called. Ours."""


def is_place(tokens: Sequence[Token], span: tuple[int, int], at: int) -> bool:
    """ "No egg in the cream", "peanuts aren't nuts": where something is not, and what it is not."""
    before = [token.norm for token in tokens[max(span[0], at - 4) : at]]
    if before[-2:-1] == ["in"] and before[-1] in _ITS and before[:-2]:
        return tokens[at].norm in _PARTS_TOO
    if before[-1:] in (["a"], ["an"], ["real"], ["any"]):
        before.pop()
    is_not = before[-1:] in (["isn't"], ["aren't"], ["wasn't"]) and before[:-1] != []
    return is_not and before[-2] not in _SUBJECTS and not tokens[at].gap.strip("-")


def not_before_free(
    tokens: Sequence[Token],
    mentions: Sequence[Mention],
    substances: Mapping[tuple[str, ...], str],
) -> list[Mention]:
    """The mentions but those before "free": in "it isn't peanut free" no taste is denied."""
    return [
        one
        for one in mentions
        if one.end >= len(tokens)
        or tokens[one.end].norm != "free"
        or tokens[one.end].gap.strip("-")
        or tuple(token.norm for token in tokens[one.first : one.end]) not in substances
    ]


def is_not_called(
    tokens: Sequence[Token], span: tuple[int, int], at: int, negators: Collection[str]
) -> bool:
    """ "Don't let me hear anybody call it gluten free", "nobody could sell this as vegan"."""
    called = False
    for place in range(at - 1, max(span[0], at - FARTHEST_CALLED) - 1, -1):
        word = tokens[place].norm
        if tokens[place + 1].gap.strip("-"):
            return False
        if called and (word in negators or word.endswith("n't") or word == "nobody"):
            return True
        called = called or word in _CALLS
    return False
