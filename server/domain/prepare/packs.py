"""The cheapest whole number of packs that holds enough, where it is sold in several sizes.

A covering knapsack with few sizes, searched exactly: sizes in the order of their unit price, each
as often as could help, whatever cannot beat the best found so far left out.

>>> cheapest(900, ((350, 23), (700, 39))).counts
(1, 1)
>>> cheapest(1000, ((350, 23), (700, 39))).counts
(1, 1)
>>> cheapest(1100, ((350, 23), (700, 39))).counts
(0, 2)
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

MOST_STEPS = 50_000
"""So many steps are searched; a small list of sizes takes a few hundred."""

DUST = 1e-9
"""What binary fractions leave of amounts that are the same."""


@dataclass(frozen=True)
class Packs:
    """How many of each size, in the order they were given; what they cost and hold together.

    `is_sure` is false where the search was cut short: then it may go cheaper.
    """

    counts: tuple[int, ...]
    cost: float
    holds: float
    is_sure: bool = True


def cheapest(needed: float, sizes: Sequence[tuple[float, float]]) -> Packs:
    """The cheapest packs that hold at least `needed`; of equal ones those that hold least.

    `sizes` are (content, price); a content lies above 0, a price may be 0.
    """
    order = sorted(range(len(sizes)), key=lambda each: (sizes[each][1] / sizes[each][0], each))
    search = _Search([sizes[each] for each in order])
    search.go(0, needed, 0.0, 0.0, [])
    counts = [0] * len(sizes)
    for place, count in zip(order, search.best, strict=False):
        counts[place] = count
    return Packs(tuple(counts), search.cost, search.holds, search.steps <= MOST_STEPS)


class _Search:
    """Branch and bound over the sizes, the cheapest by the unit first."""

    def __init__(self, sizes: Sequence[tuple[float, float]]) -> None:
        self._sizes = sizes
        self.best: list[int] = []
        self.cost = math.inf
        self.holds = math.inf
        self.steps = 0

    def go(self, place: int, left: float, cost: float, holds: float, counts: list[int]) -> None:
        """Try every count of the size at `place` that may lead to something better."""
        self.steps += 1
        if left <= DUST:
            if (round(cost, 9), holds) < (round(self.cost, 9), self.holds):
                self.best, self.cost, self.holds = list(counts), cost, holds
            return
        if place == len(self._sizes) or self.steps > MOST_STEPS:
            return
        content, price = self._sizes[place]
        # What is left costs at least its share of the cheapest unit price still to come.
        least = cost + left * price / content
        if least > self.cost + DUST:
            return
        # What can cost no less and hold no less is not better: packs that cost nothing end so.
        if least > self.cost - DUST and holds + left >= self.holds - DUST:
            return
        for count in range(math.ceil(left / content - DUST), -1, -1):
            more = count * content
            self.go(place + 1, left - more, cost + count * price, holds + more, [*counts, count])
