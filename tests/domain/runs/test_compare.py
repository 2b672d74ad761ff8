from dataclasses import replace
from statistics import median

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.domain.routine.edits import move_segment, put_segment, remove_segment
from server.domain.runs.compare import compare, verdict_on
from server.domain.runs.summary import RunSummary
from tests.factories import RULES, make_line, make_process, make_routine, make_segment
from tests.table import table

ROUTINE = make_routine(segments=("s1", "s2", "s3"))
FIRST = make_line(600, {"s1": 60, "s2": 200, "s3": 340}, id="run1")
SECOND = make_line(580, {"s1": 50, "s2": 190, "s3": 340}, id="run2")
THIRD = make_line(610, {"s1": 70, "s2": 220, "s3": 320}, id="run3")
STRICT = replace(RULES, grace_s=2, penalty_per_s=1.5, penalty_cap=30, cutoff_s=660)


def compared(*lines, routine=ROUTINE, rules=RULES, old_names=None):
    return compare(routine, rules, lines, old_names or {})


def levels(comparison):
    return {each.id: each.level for each in comparison.segments}


# Against slot and target


@table(
    "total_s, penalty, cut_off",
    [
        (590.0, 0.0, False),
        (602.0, 0.0, False),
        (602.001, 1.5, False),
        (603.0, 1.5, False),
        (603.001, 3.0, False),
        (640.0, 30.0, False),
        (660.0, 30.0, False),
        (660.001, 30.0, True),
    ],
)
def test_each_started_second_past_slot_and_grace_costs_up_to_the_cap(total_s, penalty, cut_off):
    verdict = verdict_on(total_s, STRICT)
    assert (verdict.penalty, verdict.cut_off) == (penalty, cut_off)


@given(st.integers(0, 900_000), st.integers(0, 900_000))
def test_a_longer_run_never_costs_less(one_ms, other_ms):
    shorter, longer = sorted((one_ms / 1000, other_ms / 1000))
    assert verdict_on(shorter, STRICT).penalty <= verdict_on(longer, STRICT).penalty


def test_a_run_that_ends_with_the_slot_is_inside_it():
    assert verdict_on(600.0, RULES).inside
    assert not verdict_on(600.001, RULES).inside


def test_totals_are_held_against_the_slot():
    assert verdict_on(595.5, RULES).to_slot_s == -4.5


def test_runs_inside_the_slot_are_counted():
    comparison = compared(FIRST, SECOND, THIRD)
    assert (comparison.inside, comparison.total.n) == (2, 3)


def test_all_runs_are_held_to_the_rule_sheet_as_it_stands_now():
    shorter = replace(RULES, slot_s=590, target_s=580)
    assert [run.verdict.inside for run in compared(FIRST, SECOND, rules=RULES).runs] == [True, True]
    assert [run.verdict.inside for run in compared(FIRST, SECOND, rules=shorter).runs] == [
        False,
        True,
    ]


# Segments by id


def test_each_segment_has_the_level_of_its_own_splits():
    level = levels(compared(FIRST, SECOND, THIRD))["s2"]
    assert (level.n, level.best, level.worst, level.last) == (3, 190_000, 220_000, 220_000)
    assert level.drift == 220_000 - 195_000


def test_runs_of_an_edited_routine_match_by_segment_id():
    renamed = put_segment(ROUTINE, make_segment("s2", 90, name="Shake"))
    edited = move_segment(renamed, "s2", 0)
    comparison = compared(FIRST, SECOND, routine=edited)
    assert [each.name for each in comparison.segments] == ["Shake", "Segment s1", "Segment s3"]
    assert comparison.segments[0].planned_ms == 90_000
    assert comparison.segments[0].level == levels(compared(FIRST, SECOND))["s2"]


def test_a_segment_that_left_the_plan_is_still_shown_with_its_old_name():
    shorter = remove_segment(ROUTINE, "s2")
    comparison = compared(FIRST, SECOND, routine=shorter, old_names={"s2": "Shake"})
    retired = comparison.segments[-1]
    assert (retired.id, retired.name, retired.segment, retired.planned_ms) == (
        "s2",
        "Shake",
        None,
        None,
    )
    assert retired.level.n == 2


def test_a_segment_that_nobody_can_name_is_called_a_former_one():
    comparison = compared(FIRST, routine=remove_segment(ROUTINE, "s3"))
    assert comparison.segments[-1].name == "a former segment"


def test_a_segment_new_to_the_plan_has_no_level_yet():
    longer = put_segment(ROUTINE, make_segment("s4"))
    assert levels(compared(FIRST, SECOND, routine=longer))["s4"] is None


def test_a_mark_that_was_missed_leaves_a_gap_in_its_segment_alone():
    gap = replace(SECOND, summary=RunSummary({"s1": 50_000, "s3": 580_000}, {"s1": 50_000}))
    found = levels(compared(FIRST, gap, THIRD))
    assert (found["s1"].n, found["s2"].n, found["s3"].n) == (3, 2, 2)
    assert found["s2"].drift == 220_000 - 200_000


# What counts


@pytest.mark.parametrize(
    "changes",
    [{"excluded": True}, {"status": "abandoned"}, {"status": "running", "total_ms": None}],
    ids=["excluded", "abandoned", "still running"],
)
def test_runs_that_do_not_count_are_shown_but_enter_no_figure(changes):
    with_it = compared(FIRST, replace(SECOND, **changes), THIRD)
    without = compared(FIRST, THIRD)
    assert [run.line.id for run in with_it.runs] == ["run1", "run2", "run3"]
    assert with_it.total == without.total
    assert levels(with_it) == levels(without)
    assert with_it.inside == without.inside


def test_a_run_without_a_total_has_no_verdict():
    (run,) = compared(replace(FIRST, status="running", total_ms=None)).runs
    assert run.verdict is None


def test_without_runs_there_are_no_figures():
    comparison = compared()
    assert (comparison.runs, comparison.total) == ((), None)
    assert [each.level for each in comparison.segments] == [None, None, None]


@given(st.lists(st.integers(300_000, 700_000), min_size=1, max_size=20))
def test_the_level_of_totals_is_that_of_the_counted_runs(totals_ms):
    lines = [
        make_line(total_ms / 1000, id=f"run{n}", excluded=n % 3 == 1)
        for n, total_ms in enumerate(totals_ms)
    ]
    counted = [total_ms for n, total_ms in enumerate(totals_ms) if n % 3 != 1]
    comparison = compared(*lines)
    assert comparison.total.n == len(counted)
    assert (comparison.total.median, comparison.total.last) == (median(counted), counted[-1])
    assert comparison.inside == sum(total_ms <= 600_000 for total_ms in counted)


# Processes


def test_a_run_names_the_processes_it_waited_for():
    routine = make_routine(processes=(make_process(process_id="p1", name="Cold drip"),))
    late = replace(FIRST, summary=replace(FIRST.summary, missed=("p1",)))
    runs = compared(late, SECOND, routine=routine).runs
    assert [run.missed for run in runs] == [("Cold drip",), ()]


def test_a_process_that_left_the_plan_is_still_counted_as_missed():
    late = replace(FIRST, summary=replace(FIRST.summary, missed=("gone",)))
    assert compared(late).runs[0].missed == ("a process",)
