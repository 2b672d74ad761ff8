from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.domain.base.errors import InvalidInput
from server.domain.drift.goals import Goal, progress
from server.domain.runs.labels import RunLabels
from tests.factories import make_line

GOAL = Goal(runs=3, low_s=580, high_s=598)
SAID, FORGOT = RunLabels(claims_said=True), RunLabels(claims_said=False)


def lines_of(*totals_s, **changes):
    return [make_line(total_s, id=f"r{n}", **changes) for n, total_s in enumerate(totals_s)]


def test_a_goal_says_itself_in_words():
    goal = replace(GOAL, with_claims=True)
    assert goal.words == "3 runs in a row between 9:40 and 9:58 with every claim said"
    assert Goal(runs=1, low_s=0, high_s=600).words == "one run between 0:00 and 10:00"


def test_three_in_a_row_reach_it_with_the_third():
    found = progress(GOAL, lines_of(590, 585, 597, 610))
    assert (found.reached_by, found.best, found.now, found.left) == ("r2", 3, 0, 3)


def test_a_miss_between_breaks_the_row():
    found = progress(GOAL, lines_of(590, 585, 601, 590))
    assert (found.reached_by, found.best, found.now, found.left) == (None, 2, 1, 2)


def test_without_a_row_runs_add_up():
    found = progress(replace(GOAL, in_a_row=False), lines_of(590, 601, 585, 610, 597))
    assert (found.reached_by, found.now, found.left) == ("r4", 3, 0)


@pytest.mark.parametrize(
    ("total_s", "reason"),
    [
        (580, ""),
        (598, ""),
        (579.9, "0.1 s too early"),
        (603, "5 s too late"),
        (688, "1:30 too late"),
    ],
)
def test_the_bounds_belong_to_the_goal_and_a_miss_says_by_how_much(total_s, reason):
    (attempt,) = progress(GOAL, lines_of(total_s)).attempts
    assert (attempt.reason, attempt.met) == (reason, not reason)


def test_a_run_broken_off_is_a_miss_and_an_excluded_or_running_one_is_none():
    lines = lines_of(590, 590, 590, 590)
    lines[1] = replace(lines[1], status="abandoned")
    lines[2] = replace(lines[2], excluded=True)
    lines[3] = replace(lines[3], status="running", total_ms=None)
    found = progress(GOAL, lines)
    assert [attempt.reason for attempt in found.attempts] == ["", "broken off"]
    assert found.now == 0


def test_claims_count_where_they_are_known():
    labels = {"r0": SAID, "r1": FORGOT, "r2": SAID}
    found = progress(replace(GOAL, with_claims=True), lines_of(590, 590, 590, 590), labels)
    assert [attempt.met for attempt in found.attempts] == [True, False, True, True]
    assert (found.now, found.unproven) == (2, 1)
    assert found.attempts[1].reason == "a claim was not said"


def test_claims_do_not_matter_where_the_goal_does_not_ask():
    found = progress(GOAL, lines_of(590), {"r0": FORGOT})
    assert (found.now, found.unproven) == (1, 0)


@given(st.lists(st.integers(570, 610), max_size=30))
def test_progress_is_never_more_than_the_best_and_the_best_than_all_that_met_it(totals_s):
    found = progress(GOAL, lines_of(*totals_s))
    met = sum(attempt.met for attempt in found.attempts)
    assert found.now <= found.best <= met == sum(580 <= t <= 598 for t in totals_s)
    assert (found.reached_by is not None) == (found.best >= 3)


@pytest.mark.parametrize(
    ("changes", "fields"),
    [
        ({"runs": 0}, ["runs"]),
        ({"runs": 101, "low_s": 700, "high_s": 600}, ["runs", "high"]),
        ({"low_s": -1}, ["low"]),
        ({"high_s": 90_000}, ["high"]),
    ],
)
def test_a_goal_that_cannot_be_is_refused_with_every_fault(changes, fields):
    with pytest.raises(InvalidInput) as refused:
        replace(GOAL, **changes)
    assert [fault.field for fault in refused.value.faults] == fields
