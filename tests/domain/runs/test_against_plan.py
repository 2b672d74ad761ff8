"""Segments against the plan: which way they went, and when more time is proposed."""

import pytest

from server.domain.runs.against_plan import courses, that_matter, way_of
from tests.factories import make_line, make_routine, make_segment

PLAN = make_routine(segments=(make_segment("a", 40), make_segment("b", 60)))


@pytest.mark.parametrize(
    ("times_s", "way"),
    [
        ([40, 41, 40, 44, 45, 43], "growing"),
        ([44, 45, 43, 41, 40, 42], "shrinking"),
        ([40, 46, 40, 44, 45, 43], "steady"),
        ([99, 40, 40, 40, 40, 40, 40, 44, 45, 43], "growing"),
        ([40, 41, 44, 45, 43], ""),
    ],
    ids=["three on top", "three beneath", "one above", "long ago", "too few"],
)
def test_a_segment_grows_when_its_last_three_runs_top_the_six_before(times_s, way):
    assert way_of(times_s) == way


def test_of_two_times_to_change_the_longer_over_plan_comes_first():
    lines = [make_line(splits_s={"a": 43, "b": 65})]
    found = courses(PLAN, lines, {"a": 43.0, "b": 65.0})
    assert [each.segment_id for each in that_matter(found, 3)] == ["b", "a"]


def test_a_mark_that_is_missing_leaves_a_gap_in_the_course():
    lines = [make_line(splits_s={"a": 41}), make_line(splits_s={}), make_line(splits_s={"a": 43})]
    assert courses(PLAN, lines, {})[0].over_s == (1, None, 3)


def test_runs_that_do_not_count_are_in_no_course():
    lines = [make_line(splits_s={"a": 41}), make_line(splits_s={"a": 90}, excluded=True)]
    assert courses(PLAN, lines, {})[0].over_s == (1,)


def test_a_time_to_change_stands_before_a_segment_that_was_further_off_once():
    lines = [
        make_line(splits_s={"a": a, "b": b})
        for a, b in ((40, 60), (40, 61), (40, 60), (43, 60), (43, 61), (43, 90))
    ]
    found = courses(PLAN, lines, {"a": 43.0})
    assert [each.segment_id for each in that_matter(found, 3)] == ["a", "b"]
    assert [each.segment_id for each in that_matter(found, 1)] == ["a"]


def test_the_segment_furthest_off_has_a_line_however_many_times_are_to_change():
    plan = make_routine(segments=[make_segment(each) for each in "abcd"])
    lines = [make_line(splits_s={"a": 63, "b": 64, "c": 65, "d": 182})]
    found = courses(plan, lines, {"a": 63.0, "b": 64.0, "c": 65.0})
    assert [each.segment_id for each in that_matter(found, 3)] == ["c", "b", "d"]
    lines = [make_line(splits_s={"a": 63, "b": 64, "c": 65, "d": 61})]
    found = courses(plan, lines, {"a": 63.0, "b": 64.0, "c": 65.0})
    assert [each.segment_id for each in that_matter(found, 3)] == ["c", "b", "a"]


def test_what_was_on_plan_in_the_last_run_does_not_matter():
    assert that_matter(courses(PLAN, [make_line(splits_s={"a": 40.4, "b": 60})], {}), 3) == ()


def test_the_way_of_a_segment_is_told_from_the_six_runs_before_its_last_three():
    times_s = (40, 46, 40, 40, 41, 40, 40, 44, 45, 43)
    lines = [make_line(splits_s={"a": each}) for each in times_s]
    assert courses(PLAN, lines, {})[0].way == "steady"
    assert courses(PLAN, [lines[0], *lines[2:]], {})[0].way == "growing"
