"""What stumbles cost: told where the runs show it, and nowhere else."""

import random
from datetime import UTC, datetime, timedelta

from server.domain.learn.cost import cost_of_stumbles
from server.domain.learn.learning_marks import LearningMark
from tests.domain.learn.learners import BEGAN, sentence

SENTENCES = [
    sentence(f"Sentence {number} of segment {segment}.", segment=f"s{segment}", index=number)
    for segment in range(8)
    for number in range(5)
]


def practice(cost_s, seed, runs=6, faster_s=1.0):
    """Runs and marks of somebody to whom a stumbled sentence costs so much; all get faster."""
    drawn = random.Random(seed)
    made, marks = [], []
    for number in range(runs):
        at = BEGAN + timedelta(days=number)
        lost = dict.fromkeys((each.segment_id for each in SENTENCES), 0)
        for place, each in enumerate(SENTENCES):
            how = "stumbled" if drawn.random() < 0.6 - 0.08 * number else "sat"
            lost[each.segment_id] += how != "sat"
            marks.append(LearningMark(f"{number}-{place}", each.text, how, 5, _ms(at)))
        splits = {
            key: 40 - faster_s * number + cost_s * count + drawn.gauss(0, 1.0)
            for key, count in lost.items()
        }
        made.append((_ms(at + timedelta(hours=1)), splits))
    return made, marks


def _ms(at: datetime) -> int:
    return round(at.astimezone(UTC).timestamp() * 1000)


def test_what_stumbles_cost_is_found_where_they_do():
    runs, marks = practice(1.5, seed=3)
    assert abs(cost_of_stumbles(runs, SENTENCES, marks).seconds - 1.5) < 0.5


def test_that_practice_makes_both_better_is_not_taken_for_it():
    told = [cost_of_stumbles(*_given(practice(0.0, seed))) for seed in range(40)]
    assert sum(each is not None for each in told) <= 4


def _given(made):
    runs, marks = made
    return runs, SENTENCES, marks


def test_few_runs_say_nothing():
    runs, marks = practice(5.0, seed=1, runs=1)
    assert cost_of_stumbles(runs[:1], SENTENCES[:4], marks) is None
    assert cost_of_stumbles([], SENTENCES, []) is None
