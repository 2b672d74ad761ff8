"""Whether the plan to the day works out, played by a learner who forgets."""

import random
from datetime import timedelta

import pytest

from server.domain.learn.days_ahead import ENOUGH, plan_to, said
from server.domain.learn.memory import chance_known
from server.domain.learn.today import session_on
from tests.domain.learn.learners import TODAY, script, sentence, stand


def known_on_stage(sentences, minutes, days, seed):
    """Which part a learner knows who says each day what the page asks for, by seed."""
    drawn = random.Random(seed)
    stage = TODAY + timedelta(days=days)
    now = {one.sentence.words: one for one in stand(sentences)}
    for passed in range(days):
        day = TODAY + timedelta(days=passed)
        session = session_on(day, tuple(now.values()), minutes, stage)
        for one in (*session.back, *session.new):
            knows = not one.is_new and drawn.random() < one.chance(day)
            told = said(one, "sat" if knows else "stumbled" if one.is_new else "gone", day)
            now[one.sentence.words] = told if knows else said(told, "sat", day)
    known = [drawn.random() < chance_known(one.history.memory, stage) for one in now.values()]
    return sum(known) / len(known)


def test_a_learner_reaches_the_day_with_95_in_100_where_the_minutes_suffice():
    sentences = script(100)
    found = [known_on_stage(sentences, 15, 14, seed) for seed in range(5)]
    assert sum(found) / len(found) >= ENOUGH
    assert plan_to(TODAY + timedelta(days=14), TODAY, stand(sentences), 15).needed is None


def test_a_plan_that_cannot_work_out_is_told_on_the_first_day_with_the_minutes_that_would():
    sentences = script(100)
    stage = TODAY + timedelta(days=14)
    plan = plan_to(stage, TODAY, stand(sentences), 4)
    assert not plan.outcome.is_enough
    assert known_on_stage(sentences, 4, 14, 1) < ENOUGH
    assert plan_to(stage, TODAY, stand(sentences), plan.needed).outcome.is_enough


def test_where_no_minutes_are_enough_none_are_named():
    plan = plan_to(TODAY + timedelta(days=1), TODAY, stand(script(2000)), 10)
    assert (plan.outcome.is_enough, plan.needed) == (False, None)


@pytest.mark.parametrize("days", [0, -3])
def test_a_day_that_is_past_has_no_plan(days):
    assert plan_to(TODAY + timedelta(days=days), TODAY, stand(script(5)), 10) is None


def test_a_script_of_one_word_is_known_in_time():
    plan = plan_to(TODAY + timedelta(days=3), TODAY, stand([sentence("Cheers!")]), 10)
    assert plan.outcome.is_enough
    assert len(plan.outcome.days) == 3
