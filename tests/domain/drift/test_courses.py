from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.domain.drift.courses import behind_plan, usual_reach, waterfall
from tests.factories import make_line, make_segment

PLAN = tuple(make_segment(key, planned_s) for key, planned_s in (("a", 60), ("b", 90), ("c", 30)))


def test_a_run_is_behind_by_what_its_clock_shows_past_the_plan():
    line = make_line(190, {"a": 62, "b": 95, "c": 33})
    assert behind_plan(PLAN, line) == (2, 7, 10)


def test_a_missed_mark_leaves_a_gap_and_no_more():
    line = make_line(190, {"a": 62, "b": 95, "c": 33})
    gap = replace(
        line, summary=replace(line.summary, ends_ms={"a": 62_000, "c": 190_000}, splits_ms={})
    )
    assert behind_plan(PLAN, gap) == (2, None, 10)


@pytest.mark.parametrize(
    "splits",
    [{"b": 95, "a": 62, "c": 33}, {"old": 40, "a": 62, "b": 95, "c": 33}],
    ids=["another order", "a former segment"],
)
def test_a_run_of_another_plan_is_read_off_its_splits(splits):
    assert behind_plan(PLAN, make_line(230, splits)) == (2, 7, 10)


def test_splits_of_another_plan_are_followed_up_to_the_first_gap():
    assert behind_plan(PLAN, make_line(230, {"old": 40, "a": 62, "c": 33})) == (2, None, None)


def test_a_mishap_of_ten_minutes_does_not_flatten_the_other_courses():
    courses = [(2, 5, 9), (-1, 600, 610), (0, -4, 3), (1, None, 12)]
    assert usual_reach(courses) == (-4, 12)


def test_the_last_course_is_always_within_reach():
    assert usual_reach([(2, 5, 9), (0, 3, 6), (-1, 600, 610)]) == (-1, 610)


@pytest.mark.parametrize("courses", [[], [()], [(None, None)]])
def test_without_a_course_the_reach_is_nought(courses):
    assert usual_reach(courses) == (0, 0)


def test_the_steps_of_a_run_lead_from_the_plan_to_its_total():
    found = waterfall(PLAN, make_line(190, {"a": 62, "b": 85, "c": 43}), {})
    assert [step.longer_s for step in found.steps] == [2, -5, 13]
    assert (found.planned_s, found.total_s) == (180, 190)


def test_time_that_no_split_tells_of_is_a_step_of_its_own():
    found = waterfall(PLAN, make_line(200, {"a": 62}), {})
    assert [(step.name, step.longer_s) for step in found.steps][1:] == [("not marked", 18)]


def test_a_former_segment_adds_all_that_it_took():
    found = waterfall(
        PLAN, make_line(230, {"old": 40, "a": 62, "b": 95, "c": 33}), {"old": "Rinse"}
    )
    assert [(step.name, step.longer_s) for step in found.steps][-1] == ("Rinse", 40)


@given(
    st.dictionaries(st.sampled_from("abcxy"), st.integers(0, 300_000).map(lambda ms: ms / 1000)),
    st.integers(0, 900),
)
def test_plan_and_steps_always_add_up_to_the_total(splits, total_s):
    found = waterfall(PLAN, make_line(total_s, splits), {})
    added = found.planned_s + sum(step.longer_s for step in found.steps)
    assert added == pytest.approx(total_s, abs=0.06)
