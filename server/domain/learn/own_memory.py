"""How one person's memory differs from that of the many, learnt from what they said by heart.

The library's own optimiser fits all its parameters and needs PyTorch. Here two numbers are fitted,
which tell most of how people differ: how much more stable a sentence is after it was first said,
and how much faster that grows. The model is the library's scheduler, the measure the likelihood of
what was still known (said, or stumbled through) and what was gone when it came back on another day;
both numbers are held near 1 by a prior. They are used only if, fitted to the earlier sayings, they
foretell the later ones better than the library's do.
"""

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import lru_cache
from itertools import pairwise

from server.domain.learn.learning_marks import How
from server.domain.learn.memory import USUAL, Learner, Memory, after, chance_known

LEAST_REVIEWS = 200
"""So many sentences have to have come back on another day."""

FORETOLD = (0.5, 0.75, 1.0)
"""Between these parts of what was said each is foretold from all that was said before it."""

SURELY = 0.5
"""So many standard errors the gain has to lie above nothing."""

SPREAD_FIRST, SPREAD_GROWTH = 0.6, 0.35
"""Assumptions, no source: how far the logarithms of both numbers lie from 0 in most people."""

LARGEST = math.log(8)
FIRST_STEP, LAST_STEP = 0.4, 0.1
"""Steps of the search, in logarithms."""


MORE = 1.25
"""It is learnt anew when there are so many times as many marks: a page is quick in between."""

MOST_COURSES = 150
"""It is learnt from so many sentences at the most, those said last."""


@dataclass(frozen=True)
class Recital:
    """One time that a sentence was said; `tells` is false where only failures are told of."""

    how: How
    day: date
    at_ms: int
    tells: bool = True


Counts = Callable[[int], bool]
Course = tuple[Recital, ...]
"""All sayings of one sentence that was new at the first of them."""


@dataclass(frozen=True)
class OwnMemory:
    """The learner to reckon with, from how many `reviews`, and what is gained by it.

    `gain` is by how much the log loss of a later saying is less than with the library's figures;
    0 where those are kept.
    """

    learner: Learner = USUAL
    reviews: int = 0
    gain: float = 0.0

    @property
    def is_own(self) -> bool:
        """Whether it was learnt from the person."""
        return self.learner != USUAL


@lru_cache(maxsize=256)
def own_memory(courses: tuple[Course, ...]) -> OwnMemory:
    """What these sayings tell of the person's memory; the library's figures if they do not."""
    times = sorted(saying.at_ms for _, saying in _reviews(courses))
    if len(times) < LEAST_REVIEWS:
        return OwnMemory(reviews=len(times))
    learner, gains = USUAL, _Gains()
    for begins, ends in pairwise(FORETOLD):
        from_ms = times[int(begins * len(times))]
        to_ms = times[min(int(ends * len(times)), len(times) - 1)] + (ends == 1)
        learner = _fitted(_tree(courses, 0, from_ms), learner)
        gains += _tree(courses, from_ms, to_ms).gains(learner)
    if not gains.is_sure:
        return OwnMemory(reviews=len(times))
    learner = _fitted(_tree(courses, 0, times[-1] + 1), learner)
    return OwnMemory(learner, len(times), gains.mean)


def learnt_from(marks: int) -> int:
    """From how many marks, the first ones, it is learnt where there are so many.

    >>> learnt_from(199), learnt_from(249), learnt_from(250), learnt_from(1000)
    (0, 200, 250, 953)
    """
    count = float(LEAST_REVIEWS)
    if marks < count:
        return 0
    while count * MORE <= marks:
        count *= MORE
    return int(count)


def _reviews(courses: Sequence[Course]) -> Iterator[tuple[Course, Recital]]:
    """What came back on another day than it was said before."""
    for course in courses:
        for before, saying in pairwise(course):
            if saying.tells and saying.day > before.day:
                yield course, saying


@dataclass(frozen=True)
class _Gains:
    """By how much each of so many sayings is foretold better."""

    count: int = 0
    total: float = 0.0
    squares: float = 0.0

    def __add__(self, other: "_Gains") -> "_Gains":
        return _Gains(
            self.count + other.count, self.total + other.total, self.squares + other.squares
        )

    @property
    def mean(self) -> float:
        return self.total / self.count

    @property
    def is_sure(self) -> bool:
        """Whether the mean lies clearly enough above nothing."""
        if not self.count or self.total <= 0:
            return False
        variance = self.squares / self.count - self.mean**2
        return self.mean > SURELY * math.sqrt(max(0.0, variance) / self.count)


@dataclass
class _Node:
    """Sentences with the same past: how often they came back, how often they were known then."""

    how: How
    gap_days: int
    reviews: int = 0
    known: int = 0
    children: "dict[tuple[How, int], _Node]" = field(default_factory=dict)

    def likelihood(self, chance: float) -> float:
        """The logarithm of the likelihood of what came."""
        gone = self.reviews - self.known
        return self.known * math.log(chance) + gone * math.log(1 - chance)


class _Tree:
    """Courses that begin alike share what is reckoned of them: a script has few of them."""

    def __init__(self) -> None:
        self._roots: dict[tuple[How, int], _Node] = {}

    def add(self, course: Course, counts: Counts) -> None:
        at, before = self._roots, course[0].day
        for place, saying in enumerate(course):
            gap = max(0, (saying.day - before).days)
            node = at.setdefault((saying.how, gap), _Node(saying.how, gap))
            if place and gap and saying.tells and counts(saying.at_ms):
                node.reviews += 1
                node.known += saying.how != "gone"
            at, before = node.children, max(before, saying.day)

    def chances(self, learner: Learner) -> Iterator[tuple[_Node, float]]:
        """Every past of which something came back, with the chance that it was still known."""
        begin = date(2000, 1, 1)
        waiting: list[tuple[_Node, Memory | None, date]] = [
            (root, None, begin) for root in self._roots.values()
        ]
        while waiting:
            node, before, day = waiting.pop()
            day = date.fromordinal(day.toordinal() + node.gap_days)
            if node.reviews:
                chance = chance_known(before, day)
                yield node, min(max(chance, 1e-6), 1 - 1e-6)
            if node.children:
                memory = after(before, node.how, day, learner)
                waiting += [(child, memory, day) for child in node.children.values()]

    def likelihood(self, learner: Learner) -> float:
        return sum(node.likelihood(chance) for node, chance in self.chances(learner))

    def gains(self, learner: Learner) -> _Gains:
        """By how much it foretells better than the library's figures do."""
        count, total, squares = 0, 0.0, 0.0
        pairs = zip(self.chances(learner), self.chances(USUAL), strict=True)
        for (node, own), (_, usual) in pairs:
            known, gone = math.log(own / usual), math.log((1 - own) / (1 - usual))
            count += node.reviews
            total += node.known * known + (node.reviews - node.known) * gone
            squares += node.known * known**2 + (node.reviews - node.known) * gone**2
        return _Gains(count, total, squares)


def _tree(courses: Sequence[Course], from_ms: float, to_ms: float) -> _Tree:
    """The courses as a tree that counts what came back from one moment until another."""
    tree = _Tree()
    for course in courses:
        tree.add(course, lambda at_ms: from_ms <= at_ms < to_ms)
    return tree


def _fitted(tree: _Tree, start: Learner = USUAL) -> Learner:
    """The likeliest learner, by steps to the best neighbour, each round by half as far."""
    worths: dict[tuple[float, float], float] = {}

    def worth(at: tuple[float, float]) -> float:
        if at not in worths:
            prior = (at[0] / SPREAD_FIRST) ** 2 + (at[1] / SPREAD_GROWTH) ** 2
            worths[at] = tree.likelihood(_learner(at)) - prior / 2
        return worths[at]

    best, step = (math.log(start.first), math.log(start.growth)), FIRST_STEP
    while step >= LAST_STEP:
        near = [(best[0] + x * step, best[1] + y * step)
                for x, y in ((1, 0), (-1, 0), (0, 1), (0, -1))]  # fmt: skip
        found = max((at for at in near if max(map(abs, at)) <= LARGEST), key=worth)
        if worth(found) > worth(best):
            best = found
        else:
            step /= 2
    return _learner(best)


def _learner(at: tuple[float, float]) -> Learner:
    return Learner(round(math.exp(at[0]), 2), round(math.exp(at[1]), 2))
