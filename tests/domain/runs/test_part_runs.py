"""A run of a part: its splits count, and it is no run of the whole."""

from dataclasses import replace

import numpy as np
import pytest

from server.domain.belief.practice import PastRun, practice_of
from server.domain.drift.goals import Goal, progress
from server.domain.drift.run_table import run_table
from server.domain.routine.plan import RoutinePart
from server.domain.runs.compare import compare
from tests.factories import RULES, make_line, make_routine

ROUTINE = make_routine(segments=("s1", "s2", "s3"))
WHOLE = make_line(190, {"s1": 60, "s2": 70, "s3": 60}, id="whole")


def part(total_s=125, splits_s=None, *, against="", **changes):
    line = make_line(total_s, splits_s or {"s2": 66, "s3": 59}, id="part", doubt="part", **changes)
    about = {"part": RoutinePart(2, 3, 3), "part_doubt": against}
    return replace(line, summary=replace(line.summary, **about))


def test_a_part_never_counts_as_a_run_whoever_says_so():
    lines = [part(), part(excluded=False), part(status="abandoned"), part(against="short")]
    assert [(line.counts, line.is_attempt, line.broken_off) for line in lines] == [
        (False, False, False)
    ] * 4


@pytest.mark.parametrize(
    ("line", "is_told", "words"),
    [
        (part(), True, "part: 2 to 3"),
        (part(against="short"), False, "part: 2 to 3, not counted"),
        (part(against="short", excluded=False), True, "part: 2 to 3"),
        (part(excluded=True), False, "part: 2 to 3, not counted"),
        (part(status="abandoned"), False, "part: 2 to 3, broken off"),
        (part(None, status="running"), False, "part: 2 to 3, still running"),
    ],
)
def test_splits_of_a_part_count_unless_something_speaks_against_it(line, is_told, words):
    assert (line.splits_count, line.why_not) == (is_told, words)


def test_a_part_is_compared_by_its_segments_and_by_no_total():
    found = compare(ROUTINE, RULES, [WHOLE, part(70)], {})
    assert [each.level.n for each in found.segments] == [1, 2, 2]
    assert (found.total.n, found.inside) == (1, 1)
    assert found.runs[1].verdict is None


def test_drift_has_the_splits_of_a_part_and_no_total():
    table = run_table(ROUTINE, [WHOLE, part()], {})
    assert np.isnan(table.splits_s[1]).tolist() == [True, False, False]
    assert (
        np.isnan(table.total_s).tolist() == np.isnan(table.comparable_s).tolist() == [False, True]
    )


def test_belief_learns_the_segments_of_a_part_and_no_finish():
    planned_s = {"s2": 60.0, "s3": 60.0}
    (run,) = practice_of(ROUTINE, [PastRun(part(), planned_s, ROUTINE.segments[1:])])
    assert run.durations_s == {"s2": 66.0, "s3": 59.0}
    assert (run.total_s, run.whole) == (None, False)


def test_a_part_is_no_attempt_at_a_goal():
    goal = Goal(runs=1, low_s=100, high_s=200)
    assert progress(goal, [part(150, excluded=False)]).attempts == ()
