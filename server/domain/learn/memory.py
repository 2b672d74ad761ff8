"""How well a sentence is remembered: the one door to the library for growing intervals.

`fsrs` models a memory by its stability (days until it is recalled nine times in ten) and its
difficulty, with parameters fitted to many people. Its optimiser would fit them to one person but
needs PyTorch, two gigabytes that nobody should install for a script: `own_memory` fits two numbers
instead, and beside them the library's own parameters stay. Days are those of the calendar: what was
said yesterday evening is a day old this morning.

>>> from datetime import date
>>> fresh = after(None, "sat", date(2026, 9, 1))
>>> interval_days(fresh), interval_days(fresh, wanted=0.95)
(2, 1)
"""

from dataclasses import dataclass
from datetime import UTC, date, datetime
from functools import cache, lru_cache, partial
from math import log
from typing import cast

from fsrs import Card, Rating, Scheduler, State

from server.domain.learn.learning_marks import How

WANTED = 0.9
"""A sentence comes back when it would still be known nine times in ten."""

WANTED_OF_CLAIMS = 0.95
"""One with a planned claim comes back sooner: the judges listen for it."""

_RATINGS: dict[How, Rating] = {
    "sat": Rating.Good,
    "stumbled": Rating.Hard,
    "gone": Rating.Again,
}


_FIRST, _LARGEST_FIRST = range(4), 100.0
_GROWTH, _LARGEST_GROWTH = 8, 4.5
"""Parameters of the library: stabilities after the first saying, and the logarithm of how fast
stability grows when a sentence is known; with the largest values that it takes."""


@dataclass(frozen=True)
class Learner:
    """A person beside the many: so many times as stable at first, and growing so many times as
    fast."""

    first: float = 1.0
    growth: float = 1.0


USUAL = Learner()


@dataclass(frozen=True)
class Memory:
    """What is left of a sentence: stability in days, difficulty from 1 to 10, when it was said."""

    stability: float
    difficulty: float
    said_on: date

    def kept(self, share: float) -> "Memory":
        """The memory of a text of which only a share stayed as it was: so much less stable."""
        return Memory(max(self.stability * share, 0.01), self.difficulty, self.said_on)


# Every page goes through all marks anew; most of them were gone through before.
@lru_cache(maxsize=50_000)
def after(memory: Memory | None, how: How, day: date, learner: Learner = USUAL) -> Memory:
    """The memory after a sentence was said once more on that day, and how it went."""
    moment = _noon(day)
    if memory is None:
        card = Card(card_id=0, due=moment)
    else:
        card = Card(
            card_id=0,
            state=State.Review,
            stability=memory.stability,
            difficulty=memory.difficulty,
            due=moment,
            last_review=_noon(min(memory.said_on, day)),
        )
    card, _ = _scheduler(learner).review_card(card, _RATINGS[how], moment)
    # A card that was reviewed has both.
    return Memory(cast(float, card.stability), cast(float, card.difficulty), day)


def chance_known(memory: Memory | None, day: date) -> float:
    """The chance that a sentence is known on that day (0 to 1); none where it was never said."""
    if memory is None:
        return 0.0
    power, factor = _forgetting()
    days = max(0, (day - memory.said_on).days)
    return float((1 + factor * days / memory.stability) ** power)


def interval_days(memory: Memory, wanted: float = WANTED) -> int:
    """Days until the chance to know it has fallen to what is wanted: at least one, whole.

    It is the library's own interval, also for a memory that an edit has weakened.
    """
    power, factor = _forgetting()
    days = memory.stability / factor * float(wanted ** (1 / power) - 1)
    return max(1, round(days))


@lru_cache(maxsize=256)
def _scheduler(learner: Learner = USUAL) -> Scheduler:
    # Steps of minutes are those of the page: what was gone comes again in the same session.
    make = partial(Scheduler, learning_steps=(), relearning_steps=(), enable_fuzzing=False)
    if learner == USUAL:
        return make()
    parameters = list(_scheduler().parameters)
    for place in _FIRST:
        parameters[place] = min(parameters[place] * learner.first, _LARGEST_FIRST)
    growth = parameters[_GROWTH] + log(learner.growth)
    parameters[_GROWTH] = min(max(growth, 0.0), _LARGEST_GROWTH)
    return make(parameters=parameters)


@cache
def _forgetting() -> tuple[float, float]:
    """Power and factor of the library's forgetting curve."""
    power = -_scheduler().parameters[20]
    return power, 0.9 ** (1 / power) - 1


def _noon(day: date) -> datetime:
    return datetime(day.year, day.month, day.day, 12, tzinfo=UTC)
