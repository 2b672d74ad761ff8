"""How often something is done: "I shake it twice", "filtered three times", "only one lift".

>>> from server.domain.base.tokens import tokens_of
>>> from server.domain.claims.said_numbers import numbers_in
>>> def read(text):
...     tokens = tokens_of(text)
...     found = repeats_in(tokens, (0, len(tokens)), numbers_in(tokens), set())
...     return [(one.unit, one.low, one.bound) for one in found]
>>> read("I strain it twice, and I stir at least thirty times.")
[('strain', 2.0, 'exactly'), ('stir', 30.0, 'over')]
>>> read("She turned twice. I have said it three times. I stir once it is cold.")
[]
"""

from collections.abc import Sequence, Set

from server.domain.base.languages import supported
from server.domain.base.tokens import Token
from server.domain.claims.quantities import Quantity
from server.domain.claims.said_numbers import SaidNumber
from server.domain.claims.spoken.bounds import bound_of
from server.domain.claims.spoken.units import QuantityKind

_ADVERBS = {"once": 1.0, "twice": 2.0, "thrice": 3.0}

_BY_UNIT = {
    "stir": ("stir", "stirs", "stirred", "stirring", "turn", "turned", "turning", "round", "mix",
             "mixed", "move", "swirl", "swirled", "rotate"),
    "shake": ("shake", "shakes", "shaken", "shaking", "shook"),
    "strain": ("strain", "strained", "straining", "filter", "filtered", "sieve", "sieved"),
    "pour": ("pour", "poured", "pouring"),
    "lift": ("lift", "lifted"),
    "dash": ("dash", "dashed"),
}  # fmt: skip
_DONE = {word: unit for unit, words in _BY_UNIT.items() for word in words}

_SIEVES = frozenset({"paper", "cloth", "sieve", "filter", "cotton", "muslin", "strainer"})
_OTHERS = frozenset({"he", "she", "they", "him", "his", "her", "who", "my", "your", "you"})
_LIMITS = frozenset({"only", "just", "than", "exactly"})

REACH = 9
"""Most tokens between what is done and how often."""


def repeats_in(
    tokens: Sequence[Token],
    span: tuple[int, int],
    numbers: Sequence[SaidNumber],
    busy: Set[int],
) -> list[Quantity]:
    """How often a sentence (first token, end) says that something is done, in order. English."""
    ends = {number.end: number for number in numbers}
    found = []
    for at in range(*span):
        word = tokens[at].norm
        value, first = _ADVERBS.get(word), at
        if word in ("times", "time"):
            number = ends.get(at)
            if number is None or (word == "time") is not (number.value == 1):
                continue
            value, first = number.value, number.first
        if value is None or value != int(value) or not busy.isdisjoint(range(first, at + 1)):
            continue
        unit = _done(tokens, first, at + 1)
        if not unit or (word == "once" and not _is_meant(tokens, at)):
            continue
        kind: QuantityKind = "amount" if unit == "dash" else "count"
        bound = bound_of(tokens, first, at + 1, supported("en"))
        found.append(Quantity(kind, first, at + 1, value, value, unit, bound=bound))
    return found


def _done(tokens: Sequence[Token], first: int, end: int) -> str:
    """What is done so often: told last before it, or through what it runs."""
    for at in range(first - 1, max(-1, first - REACH - 1), -1):
        word = tokens[at].norm
        if word in _OTHERS and word not in ("my", "you", "your"):
            return ""
        if word in _DONE:
            near = {token.norm for token in tokens[max(0, at - 3) : at]}
            return "" if near & (_OTHERS - {"my", "your"}) else _DONE[word]
        if word in _SIEVES and first - at <= 2:
            return "strain"
        if word in ("said", "say", "tried", "asked", "tested", "read", "practised", "checked"):
            return ""
    behind = [token.norm for token in tokens[end : end + 4]]
    return "strain" if "through" in behind[:1] and not _SIEVES.isdisjoint(behind) else ""


def _is_meant(tokens: Sequence[Token], at: int) -> bool:
    """Whether "once" counts: "only once", "I stir once."; "once it is cold" does not."""
    ends = at + 1 >= len(tokens) or bool(tokens[at + 1].gap.strip("-"))
    before = tokens[at - 1].norm if at else ""
    if before in ("it", "them") and at > 1:
        # "I strain it once."
        before = tokens[at - 2].norm
        return ends and not tokens[at].gap and _DONE.get(before) in ("strain", "stir", "shake")
    return before in _LIMITS or (ends and not tokens[at].gap and before in _DONE)
