"""The plan to the day on stage: what each day holds, and whether it works out.

Days are played through with a learner who forgets as the library says, several times with chances
drawn by seeds; each plays the same sessions that the page would give. What is told is their mean.
"""

import random
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from server.domain.learn.aim import MOST_MINUTES
from server.domain.learn.learning_marks import How
from server.domain.learn.memory import after
from server.domain.learn.said_before import History
from server.domain.learn.today import (
    SAYINGS_OF_GONE,
    Sayings,
    Standing,
    session_on,
    spent_on,
)

ENOUGH = 0.95
"""So large a part of the sentences is to be known on the day."""

FARTHEST_DAYS = 60
"""A day on stage farther away than this is planned as if it were this far: it changes nothing."""


_PLAYED = 3
"""Learners that are played for a plan."""

LOOK_FIRST = 0.8
"""Assumption: so often a sentence that is new sits once its words have thinned out."""


@dataclass(frozen=True)
class LearningDay:
    """A day of the plan: sentences that come back, new ones, and the seconds they take."""

    day: date
    back: float
    new: float
    seconds: float


@dataclass(frozen=True)
class LearningOutcome:
    """What a plan comes to: its days, and which part of the sentences is known on the day."""

    days: tuple[LearningDay, ...]
    known: float

    @property
    def is_enough(self) -> bool:
        """Whether as much is known as is wanted."""
        return self.known >= ENOUGH


@dataclass(frozen=True)
class LearningPlan:
    """The outcome with the minutes that are given, and the minutes a day that would be enough.

    `needed` is None where they are enough, or where no minutes are: the day is too near.
    """

    outcome: LearningOutcome
    needed: int | None = None


def plan_to(
    stage: date, today: date, all_: Sequence[Standing], minutes: float
) -> LearningPlan | None:
    """The plan from today to the day on stage; None where there is no such day or no sentence."""
    if stage <= today or not all_:
        return None
    outcome = played(stage, today, all_, minutes)
    if outcome.is_enough:
        return LearningPlan(outcome)
    return LearningPlan(outcome, _needed(stage, today, all_, minutes))


def played(
    stage: date, today: date, all_: Sequence[Standing], minutes: float, seeds: int = _PLAYED
) -> LearningOutcome:
    """What these minutes a day come to: the mean of so many learners."""
    stage = min(stage, today + timedelta(days=FARTHEST_DAYS))
    courses = [_course(stage, today, all_, minutes, seed) for seed in range(seeds)]
    days = tuple(
        LearningDay(
            each[0].day,
            sum(one.back for one in each) / seeds,
            sum(one.new for one in each) / seeds,
            sum(one.seconds for one in each) / seeds,
        )
        for each in zip(*(course.days for course in courses), strict=True)
    )
    return LearningOutcome(days, sum(course.known for course in courses) / seeds)


def said(standing: Standing, how: How, day: date) -> Standing:
    """The sentence after it was said on that day."""
    before = standing.history
    memory = after(before.memory, how, day, standing.learner)
    history = History(memory, how, before.said_ms, (*before.said_days, day))
    return replace(standing, history=history, missed=None)


def _course(
    stage: date, today: date, all_: Sequence[Standing], minutes: float, seed: int
) -> LearningOutcome:
    drawn = random.Random(seed)  # noqa: S311  (a game, played the same each time)
    now = list(all_)
    place = {each.sentence.words: at for at, each in enumerate(now)}
    days = []
    spent_s = spent_on(today, now)
    day = today
    while day < stage:
        session = session_on(day, now, minutes, stage, spent_s)
        seconds = session.seconds + _say(session, day, now, place, drawn)
        days.append(LearningDay(day, len(session.back), len(session.new), seconds))
        day, spent_s = day + timedelta(days=1), 0.0
    known = sum(each.chance(stage) for each in now) / len(now)
    return LearningOutcome(tuple(days), known)


def _say(
    session: Sayings,
    day: date,
    now: list[Standing],
    place: dict[tuple[str, ...], int],
    drawn: random.Random,
) -> float:
    """Say what a session holds; returns the seconds that what was gone takes beside it."""
    more_s = 0.0
    for each in (*session.back, *session.new):
        chance = LOOK_FIRST if each.is_new else each.chance(day)
        if drawn.random() < chance:
            told = said(each, "sat", day)
        else:
            told = said(said(each, "stumbled" if each.is_new else "gone", day), "sat", day)
            more_s += SAYINGS_OF_GONE * each.sentence.seconds
        now[place[each.sentence.words]] = told
    return more_s


def _needed(stage: date, today: date, all_: Sequence[Standing], minutes: float) -> int | None:
    """The least whole minutes a day that are enough; None where not even the most are."""
    low, high = int(minutes), MOST_MINUTES
    if not played(stage, today, all_, high, 1).is_enough:
        return None
    while high - low > max(1, low // 20):
        middle = (low + high) // 2
        if played(stage, today, all_, middle, 1).is_enough:
            high = middle
        else:
            low = middle
    return high
