"""How long steps of making let a drink stand."""

from collections.abc import Iterator, Sequence

from server.domain.claims.facts import KnownNumber
from server.domain.claims.finds import Find
from server.domain.glass.steps import Rest
from server.domain.routine.drink import Drink


def waits_of(drinks: Sequence[Drink]) -> Iterator[KnownNumber]:
    """The time of each step that lets one of these drinks stand, in s."""
    for drink in drinks:
        for step in drink.steps:
            if isinstance(step, Rest):
                low_s, high_s = step.minutes.least * 60, step.minutes.most * 60
                yield KnownNumber("time", f"letting {drink.name} stand", low_s, high_s)


LIKE = {"rest": 4.0, "stand": 2.0}
"""Act -> so many times longer or shorter, a time may still be meant for that of a step: what is
said to rest is hardly anything else. Ours."""


def is_like_wait(find: Find, act: str, number: KnownNumber) -> bool:
    """Whether a time of resting or standing is near enough to a step's to be meant for it."""
    most, share = LIKE.get(act, 1.0), (find.high or 0.0) / max(number.high, 1.0)
    return act in LIKE and find.bound in ("exactly", "about") and 1 / most <= share <= most
