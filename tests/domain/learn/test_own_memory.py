"""One person's memory learnt from what they said: made learners whose memory is known."""

import math
from datetime import UTC, date, timedelta
from random import Random
from statistics import fmean

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from server.domain.learn.memory import USUAL, Learner, after, chance_known, interval_days
from server.domain.learn.own_memory import LEAST_REVIEWS, Recital, _tree, own_memory
from server.domain.learn.said_before import courses_of
from tests.domain.learn.learners import mark

BEGIN = date(2026, 9, 1)
HOWS = st.sampled_from(["sat", "stumbled", "gone"])
COURSES = st.lists(
    st.lists(st.tuples(HOWS, st.integers(0, 9)), min_size=1, max_size=6).map(
        lambda said: course(said)
    ),
    max_size=8,
).map(tuple)


def course(said):
    """How it went each time, and after how many days."""
    day, found = BEGIN, []
    for number, (how, gap) in enumerate(said):
        day += timedelta(days=gap)
        found.append(Recital(how, day, day.toordinal() * 86_400_000 + number))
    return tuple(found)


def losses(courses, learner):
    """Minus the logarithm of the chance of what came, for each that came back on another day."""
    found = []
    for each in courses:
        memory = None
        for place, saying in enumerate(each):
            if place and saying.day > each[place - 1].day and saying.tells:
                chance = min(max(chance_known(memory, saying.day), 1e-6), 1 - 1e-6)
                found.append(-math.log(1 - chance if saying.how == "gone" else chance))
            memory = after(memory, saying.how, saying.day, learner)
    return found


def log_loss(courses, learner):
    return fmean(losses(courses, learner))


def learnt_by(learner, seed, sentences=150, days=60):
    """What such a learner says of a script when each comes back as the library would have it."""
    drawn, known, said = Random(seed), {}, {n: [] for n in range(sentences)}
    for passed in range(days):
        day = BEGIN + timedelta(days=passed)
        for n in range(min(sentences, 12 * (passed + 1))):
            true, planned = known.get(n, (None, None))
            if planned and planned.said_on + timedelta(days=interval_days(planned)) > day:
                continue
            sits = drawn.random() < (chance_known(true, day) if true else 0.7)
            for how in ("sat",) if sits else ("gone" if true else "stumbled", "sat"):
                at_ms = day.toordinal() * 86_400_000 + len(said[n])
                said[n].append(Recital(how, day, at_ms))
                true, planned = after(true, how, day, learner), after(planned, how, day)
            known[n] = true, planned
    return tuple(tuple(each) for each in said.values() if each)


@pytest.mark.parametrize("learner", [Learner(0.3, 0.6), Learner(1.5, 2.0)], ids=["less", "more"])
def test_of_another_memory_the_next_script_is_foretold_better(learner):
    own = own_memory(learnt_by(learner, seed=1))
    assert own.is_own
    assert (own.learner.first * own.learner.growth > 1) == (learner.first > 1)
    later = learnt_by(learner, seed=99)
    # More than half of what knowing the true memory would gain over the library's figures.
    most = log_loss(later, USUAL) - log_loss(later, learner)
    assert log_loss(later, USUAL) - log_loss(later, own.learner) > most / 2 > 0


def test_of_a_memory_like_that_of_the_many_the_librarys_figures_stay():
    assert own_memory(learnt_by(USUAL, seed=1)).learner == USUAL


def test_little_that_came_back_teaches_nothing():
    own = own_memory(learnt_by(Learner(0.2, 0.5), seed=1, sentences=30))
    assert own.reviews < LEAST_REVIEWS
    assert not own.is_own


@given(COURSES)
@settings(max_examples=30, deadline=None)
def test_the_chances_are_those_of_the_library_one_saying_after_the_other(courses):
    # The tree shares what courses have in common; `losses` goes through each by itself.
    learner = Learner(0.5, 1.5)
    shared = _tree(courses, 0, math.inf).likelihood(learner)
    assert shared == pytest.approx(-sum(losses(courses, learner)))


def test_what_a_recording_told_moves_memory_and_is_no_measure_of_it():
    told = (Recital("sat", BEGIN, 1), Recital("gone", BEGIN + timedelta(days=3), 2, tells=False))
    assert losses((told,), USUAL) == []
    assert _tree((told,), 0, math.inf).likelihood(USUAL) == 0


def test_an_edited_sentence_is_no_new_one_for_the_measure():
    marks = [
        mark("The lamp on the landing is lit tonight.", days=0),
        mark("The lamp on the landing is lit again.", days=3),
        mark("Another thing altogether, plum and pear.", days=3, number=1),
    ]
    assert [len(each) for each in courses_of(marks, UTC)] == [1, 1]
    assert [each[0].day.day for each in courses_of(marks, UTC)] == [1, 4]
