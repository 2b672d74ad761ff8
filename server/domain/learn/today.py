"""What to say today: what comes back, what is new, and how long it takes.

Every sentence comes back when its chance to be known has fallen to what is wanted of it, and once
more in the last round before the stage, which is as long as the minutes a day make it. What was
left out on stage comes back at once. New sentences fill the minutes that are left.
"""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from server.domain.learn.memory import (
    USUAL,
    WANTED,
    WANTED_OF_CLAIMS,
    Learner,
    Memory,
    chance_known,
    interval_days,
)
from server.domain.learn.said_before import NEVER_SAID, History, Words
from server.domain.learn.script import LearntSentence
from server.domain.learn.thinning import NOTHING

USUAL_MINUTES = 10.0
"""Minutes a day where nobody says otherwise: an assumption, about the length of a slot."""

MARK_S = 3.0
"""Assumption: to look at the words again and mark how it went."""

SAYINGS_OF_NEW = NOTHING + 1
"""A new sentence is said once at every step."""

SAYINGS_OF_GONE = 3
"""What was gone is said again with more of it shown, in the same session."""

SITS_FROM = 0.8
"""A sentence that sat the last time is taken to sit while it is known as surely as this."""


@dataclass(frozen=True)
class Missed:
    """A claim left out or said wrong in a run: how it counts over all runs, and when it was last.

    >>> Missed("ripe pear", 1, 3, 0).words
    'ripe pear: heard in 1 of 3 runs'
    """

    label: str
    heard: int
    runs: int
    at_ms: int

    @property
    def words(self) -> str:
        """Why its sentence comes back."""
        return f"{self.label}: heard in {self.heard} of {self.runs} runs"


@dataclass(frozen=True)
class Standing:
    """A sentence of the script and what is remembered of it."""

    sentence: LearntSentence
    history: History = NEVER_SAID
    missed: Missed | None = None
    """What of it was left out on stage since it was last said by heart."""
    learner: Learner = USUAL

    @property
    def is_new(self) -> bool:
        """Whether it was never said by heart."""
        return self.history.memory is None

    @property
    def is_changed(self) -> bool:
        """Whether words of it are new since it was last said."""
        return bool(self.history.changed)

    @property
    def is_lost(self) -> bool:
        """Whether it went wrong in a recording, or what it says was missed on stage, since."""
        went_wrong = self.history.in_run and self.history.last != "sat"
        return went_wrong or self.missed is not None

    @property
    def wanted(self) -> float:
        """The chance to be known below which it comes back."""
        return WANTED_OF_CLAIMS if self.sentence.is_planned else WANTED

    def chance(self, day: date) -> float:
        """The chance that it is known on that day."""
        return chance_known(self.history.memory, day)

    def sits(self, day: date) -> bool:
        """Whether it sat the last time, as it stands now, and is still held by memory."""
        held = self.history.last == "sat" and not self.is_changed and not self.is_lost
        return held and self.chance(day) >= SITS_FROM

    def due_on(self, last_round: date | None = None) -> date | None:
        """The day it comes back; None for a new one. It comes before its last round is over."""
        memory = self.history.memory
        if memory is None:
            return None
        if self.is_changed or self.is_lost:
            return memory.said_on
        due = memory.said_on + timedelta(days=interval_days(memory, self.wanted))
        if last_round is not None and memory.said_on < last_round:
            return min(due, last_round)
        return due

    @property
    def seconds(self) -> float:
        """What it takes to say it today and to mark how it went."""
        if self.is_new:
            return SAYINGS_OF_NEW * self.sentence.seconds + MARK_S
        return self.sentence.seconds + MARK_S


@dataclass(frozen=True)
class Sayings:
    """What is to be said on a day, in the order of need: what comes back first, then the new."""

    back: tuple[Standing, ...]
    new: tuple[Standing, ...]
    waiting: int = 0
    """Sentences that were due as well and have no room in the minutes of that day."""

    @property
    def seconds(self) -> float:
        """How long that takes."""
        return sum(each.seconds for each in (*self.back, *self.new))

    @property
    def count(self) -> int:
        """How many sentences that is."""
        return len(self.back) + len(self.new)

    @property
    def minutes(self) -> int:
        """The same in whole minutes, at least one where there is anything to say."""
        return max(1, round(self.seconds / 60)) if self.count else 0


def standings(
    sentences: Iterable[LearntSentence],
    found: Mapping[Words, History],
    missed: Mapping[str, Missed] | None = None,
    learner: Learner = USUAL,
) -> tuple[Standing, ...]:
    """Every sentence of a script once, with its history and what was missed of it on stage."""
    told: dict[Words, Standing] = {}
    for each in sentences:
        if each.words in told:
            continue
        history = found.get(each.words, NEVER_SAID)
        lost = [(missed or {}).get(key) for key in each.claims]
        open_ = [one for one in lost if one is not None and one.at_ms > history.said_ms]
        told[each.words] = Standing(each, history, open_[0] if open_ else None, learner)
    return tuple(told.values())


def session_on(
    day: date,
    all_: Sequence[Standing],
    minutes: float,
    stage: date | None = None,
    spent_s: float = 0.0,
) -> Sayings:
    """What to say on that day, within the minutes of a day of which `spent_s` are over."""
    rounds = last_rounds(all_, minutes, stage, day)
    room_s = max(0.0, minutes * 60 - spent_s)
    due = []
    for each in all_:
        on = each.due_on(rounds.get(each.sentence.words))
        if on is not None and on <= day:
            due.append(each)
    # What was lost on stage and what is new in a known sentence before all else.
    due.sort(key=lambda one: (not one.is_lost, not one.is_changed, one.chance(day)))
    back, waiting = _fitting(due, room_s)
    room_s -= sum(each.seconds for each in back)
    fresh = [] if waiting else [each for each in all_ if each.is_new]
    new, _ = _fitting(sorted(fresh, key=lambda one: not one.sentence.is_planned), room_s)
    in_order = {id(each): place for place, each in enumerate(all_)}
    new.sort(key=lambda one: in_order[id(one)])
    return Sayings(tuple(back), tuple(new), waiting)


def spent_on(day: date, all_: Iterable[Standing]) -> float:
    """Seconds that what was said by heart on that day has taken."""
    spent_s = 0.0
    for each in all_:
        days = each.history.said_days
        if not days or days[-1] != day:
            continue
        times = days.count(day)
        first = SAYINGS_OF_NEW if days[0] == day else 1
        spent_s += (first + times - 1) * each.sentence.seconds + times * MARK_S
    return spent_s


def last_rounds(
    all_: Sequence[Standing], minutes: float, stage: date | None, day: date
) -> dict[Words, date]:
    """The day of each sentence's last round: all are said once more before the stage.

    The round takes as many days as the minutes make it, up to the eve; what is held best comes
    first, so that what is held worst is said last.
    """
    if stage is None or stage <= day:
        return {}
    in_turn = sorted(all_, key=lambda one: -_stability(one.history.memory))
    total_s = sum(one.sentence.seconds + MARK_S for one in in_turn)
    days = max(1, math.ceil(total_s / (max(minutes, 1.0) * 60)))
    first = max(stage - timedelta(days=days), day)
    length = (stage - first).days
    rounds: dict[Words, date] = {}
    past_s = 0.0
    for one in in_turn:
        at = min(length - 1, int(length * past_s / total_s)) if total_s else 0
        rounds[one.sentence.words] = first + timedelta(days=at)
        past_s += one.sentence.seconds + MARK_S
    return rounds


def _stability(memory: Memory | None) -> float:
    return 0.0 if memory is None else memory.stability


def _fitting(asked: Sequence[Standing], room_s: float) -> tuple[list[Standing], int]:
    """Those that fit, the first at any rate while there is room at all, and how many do not."""
    found: list[Standing] = []
    for each in asked:
        if room_s <= 0:
            break
        found.append(each)
        room_s -= each.seconds
    return found, len(asked) - len(found)
