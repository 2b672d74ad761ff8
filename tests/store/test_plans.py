from dataclasses import replace

import pytest

from server.domain.base.errors import NotFound
from server.domain.routine.plan import Plan
from server.domain.runs.run import outline_of
from server.store.plans import FRAMES_KEPT, freeze_plan, load_frame, load_plan
from tests.factories import RULES, make_process, make_routine

PLAN = Plan(make_routine(processes=(make_process(),)), RULES)


def test_a_frozen_plan_comes_back_as_it_was(session):
    assert load_plan(session, freeze_plan(session, PLAN)) == PLAN


def test_equal_plans_share_a_key_and_unlike_ones_do_not(session):
    key = freeze_plan(session, PLAN)
    assert freeze_plan(session, Plan(replace(PLAN.routine), replace(RULES))) == key
    assert freeze_plan(session, replace(PLAN, rules=replace(RULES, grace_s=1))) != key


def test_a_plan_that_was_never_frozen_is_not_found(session):
    for ask in (load_plan, load_frame):
        with pytest.raises(NotFound):
            ask(session, "nothing")


def test_every_frame_is_that_of_its_plan_however_many_are_asked_for(session):
    plans = [
        Plan(make_routine(segments=(f"s{number}", "end")), RULES)
        for number in range(FRAMES_KEPT + 3)
    ]
    keys = [freeze_plan(session, plan) for plan in plans]
    for _ in range(2):
        frames = [load_frame(session, key) for key in keys]
        assert [each.outline for each in frames] == [outline_of(plan.routine) for plan in plans]
        assert {each.planned_s for each in frames} == {120.0}
