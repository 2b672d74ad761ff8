"""How long steps of making let a drink stand."""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from server.domain.claims.facts import KnownNumber
from server.domain.claims.finds import Find
from server.domain.claims.spoken.around import Clause
from server.domain.glass.steps import Rest
from server.domain.routine.drink import Drink


def waits_of(drinks: Sequence[Drink]) -> Iterator[KnownNumber]:
    """The time of each step that lets one of these drinks stand, in s."""
    for drink in drinks:
        for step in drink.steps:
            if isinstance(step, Rest):
                low_s, high_s = step.minutes.least * 60, step.minutes.most * 60
                yield KnownNumber("time", f"letting {drink.name} stand", low_s, high_s)


_THE = frozenset({"the", "my", "our", "a", "an", "this", "that", "these", "those", "your"})
_WHOLE = frozenset(
    {
        "batch", "punch", "mix", "mixture", "drink", "whole", "lot", "liquid", "jug", "pot", "base",
        "cocktail", "milk", "blend", "thing",
    }
)  # fmt: skip
"""What stands is the drink, though it is no drink yet."""

_PARTLY = frozenset(
    {
        "bloom", "pour", "pours", "pulse", "pulses", "first", "every", "grind", "stir", "stirs",
        "ago", "since", "within", "another", "last", "wait", "waits", "waited", "waiting", "pause",
        "taste", "sip", "glass", "cup", "you", "judges",
    }
)  # fmt: skip
"""Beside one of these it is a while within something else, or that of those who wait."""

LIKE = {"rest": 4.0, "stand": 2.0}
"""Act -> so many times longer or shorter, a time may still be meant for that of a step: what is
said to rest is hardly anything else. Ours."""


def is_like_wait(find: Find, act: str, clause: Clause, number: KnownNumber) -> bool:
    """Whether a time of resting or standing is near enough to a step's to be meant for it, by the
    words of its clause too: "we rest the dough" is of another thing.
    """
    if any(one in _THE and thing not in _WHOLE for one, thing in pairwise(clause.before)):
        return False
    if not _PARTLY.isdisjoint(clause.words):
        return False
    most, share = LIKE.get(act, 1.0), (find.high or 0.0) / max(number.high, 1.0)
    return act in LIKE and find.bound in ("exactly", "about") and 1 / most <= share <= most
