"""Learning by heart: does a learner who says what the page asks for know the script on the day?

The learner forgets as the library's model says and is drawn by seed; the plan is told on the first
day. Where its minutes suffice 95 in 100 are to be known, and where they do not it has to say so.
"""

import random
import time
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

from server.demo import demo_file
from server.domain.claims.pace import Paces, WordPace
from server.domain.learn.days_ahead import plan_to, said
from server.domain.learn.learning_marks import LearningMark
from server.domain.learn.memory import chance_known
from server.domain.learn.said_before import histories
from server.domain.learn.script import LearntSentence, sentences_to_learn
from server.domain.learn.today import session_on, standings
from tests.bench.figures import Figure

DAY = datetime(2026, 9, 1, tzinfo=UTC)
CASES = ((7, 10), (7, 25), (14, 5), (14, 10), (28, 5), (28, 10))
"""Days to the stage and minutes a day, for the script of the demo."""
LEARNERS, LEARNERS_QUICK = 20, 3


def measure(quick: bool) -> Iterator[Figure]:
    """What is known on the day beside what the plan foretold, and how long the work takes."""
    pace = WordPace(145.0, 125.0, 168.0, segments=0, runs=0, note="")
    sentences = sentences_to_learn(demo_file().routine, Paces(pace))
    for days, minutes in CASES:
        stage = DAY.date() + timedelta(days=days)
        plan = plan_to(stage, DAY.date(), standings(sentences, {}), minutes)
        seeds = range(LEARNERS_QUICK if quick else LEARNERS)
        known = sum(known_on_the_day(sentences, days, minutes, 100 + seed) for seed in seeds)
        told = round(100 * plan.outcome.known) if plan else 0
        needed = f", {plan.needed} min would do" if plan and plan.needed else ""
        yield Figure(
            f"{len(sentences)} sentences, {days} days of {minutes} min",
            100 * known / len(seeds),
            "in 100 known",
            aim=f"foretold {told}{needed}",
        )
    yield Figure("histories of 5,000 marks", _histories_ms(sentences), "ms", aim="under 500 ms")


def known_on_the_day(
    sentences: tuple[LearntSentence, ...], days: int, minutes: int, seed: int
) -> float:
    """Which part of a script one learner knows on stage."""
    drawn = random.Random(seed)
    stage = DAY.date() + timedelta(days=days)
    now = {one.sentence.words: one for one in standings(sentences, {})}
    for passed in range(days):
        day = DAY.date() + timedelta(days=passed)
        session = session_on(day, tuple(now.values()), minutes, stage)
        for one in (*session.back, *session.new):
            knows = drawn.random() < (0.7 if one.is_new else one.chance(day))
            lost = "stumbled" if one.is_new else "gone"
            told = one if knows else said(one, lost, day)
            now[one.sentence.words] = said(told, "sat", day)
    known = [drawn.random() < chance_known(one.history.memory, stage) for one in now.values()]
    return sum(known) / len(known)


def _histories_ms(sentences: tuple[LearntSentence, ...]) -> float:
    marks = [
        LearningMark(f"m{n}", sentences[n % len(sentences)].text, "sat", 5, round(at * 1000))
        for n, at in enumerate(DAY.timestamp() + 3600.0 * n for n in range(5000))
    ]
    begun = time.perf_counter()
    histories((each.text for each in sentences), marks, UTC)
    return (time.perf_counter() - begun) * 1000
