from dataclasses import replace
from statistics import mean

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.domain.routine.rules import Criterion
from server.domain.runs.points import points_table
from server.domain.runs.remarks import ScoreState

FLOW, CARE = Criterion("flow", "Flow", 10.0), Criterion("care", "Care", 5.0)


def score(criterion, points, device="d1", who="Ada"):
    return ScoreState(f"{device}-{criterion.id}", criterion.id, points, device, who)


def test_each_judge_has_a_column_and_each_criterion_a_mean():
    table = points_table(
        (FLOW, CARE),
        (score(FLOW, 8), score(CARE, 4), score(FLOW, 6, "d2", "Ben"), score(CARE, 5, "d2", "Ben")),
    )
    assert [row.given for row in table.rows] == [(8, 6), (4, 5)]
    assert [row.mean for row in table.rows] == [7, 4.5]
    assert [(judge.who, judge.total) for judge in table.judges] == [("Ada", 12), ("Ben", 11)]
    assert (table.mean_total, table.most_total) == (11.5, 15)


def test_two_judges_of_one_name_are_two():
    table = points_table((FLOW,), (score(FLOW, 8), score(FLOW, 6, "d2", "Ada")))
    assert table.rows[0].given == (8, 6)


def test_what_was_not_given_is_left_open_and_not_counted_as_nothing():
    table = points_table((FLOW, CARE), (score(FLOW, 8), score(CARE, 5, "d2", "Ben")))
    assert [row.given for row in table.rows] == [(8, None), (None, 5)]
    assert [judge.is_complete for judge in table.judges] == [False, False]
    assert table.mean_total == 13


def test_a_criterion_without_points_leaves_the_total_open():
    table = points_table((FLOW, CARE), (score(FLOW, 8),))
    assert (table.rows[1].mean, table.mean_total) == (None, None)


@pytest.mark.parametrize(
    "stray", [score(CARE, 5.5), score(CARE, -1), score(Criterion("x", "X"), 1)]
)
def test_points_that_no_page_would_send_are_left_out(stray):
    table = points_table((FLOW, CARE), (score(FLOW, 8), stray))
    assert table.rows[1].given == (None,)
    assert table.judges[0].total == 8


@given(st.lists(st.floats(0, 10), min_size=1, max_size=8))
def test_the_mean_is_that_of_the_standard_library(points):
    # Against statistics.mean of CPython, which computes in exact fractions.
    given_points = [score(FLOW, each, f"d{place}") for place, each in enumerate(points)]
    assert points_table((FLOW,), given_points).mean_total == pytest.approx(mean(points))


def test_a_criterion_that_weighs_more_counts_more():
    heavy = replace(FLOW, weight=3.0)
    table = points_table((heavy, CARE), (score(heavy, 8), score(CARE, 5)))
    assert (table.judges[0].total, table.mean_total, table.most_total) == (29, 29, 35)
