from dataclasses import replace
from datetime import date, timedelta, timezone

import numpy as np
import pytest

from server.domain.drift.run_table import run_table
from server.domain.routine.edits import put_segment, remove_segment
from server.domain.runs.labels import RunLabels
from server.domain.runs.summary import RunSummary
from tests.domain.drift.histories import HOUR_MS
from tests.factories import NOW_MS, make_line, make_routine, make_segment

ROUTINE = make_routine(segments=("s1", "s2", "s3"))
FIRST = make_line(190, {"s1": 60, "s2": 70, "s3": 60}, id="run1")
SECOND = make_line(180, {"s1": 55, "s2": 65, "s3": 60}, id="run2")


def table_of(*lines, routine=ROUTINE, old_names=None, **more):
    return run_table(routine, lines, old_names or {}, **more)


def test_a_row_holds_the_splits_of_a_run_in_the_order_of_the_plan():
    table = table_of(FIRST, SECOND)
    assert table.segment_ids == ("s1", "s2", "s3")
    assert table.splits_s.tolist() == [[60, 70, 60], [55, 65, 60]]
    assert table.total_s.tolist() == table.comparable_s.tolist() == [190, 180]


@pytest.mark.parametrize(
    "changes",
    [{"excluded": True}, {"status": "abandoned"}, {"status": "running", "total_ms": None}],
    ids=["excluded", "broken off", "still running"],
)
def test_runs_that_do_not_count_have_no_row(changes):
    table = table_of(FIRST, replace(SECOND, **changes))
    assert table.run_ids == ("run1",)
    assert table.broken_off == (changes.get("status") == "abandoned")


def test_a_missing_mark_leaves_a_gap_and_the_total_as_it_is():
    gap = replace(SECOND, summary=RunSummary({"s1": 55_000, "s3": 180_000}, {"s1": 55_000}))
    table = table_of(FIRST, gap)
    assert np.isnan(table.splits_s[1]).tolist() == [False, True, True]
    assert (table.comparable_s[1], bool(table.converted[1])) == (180, False)


def test_a_former_segment_keeps_its_column_and_leaves_the_comparable_total():
    table = table_of(FIRST, routine=remove_segment(ROUTINE, "s2"), old_names={"s2": "Shake"})
    assert table.segment_ids == ("s1", "s3", "s2")
    assert (table.segment_names[2], table.planned_s[2]) == ("Shake", None)
    assert (table.planned_columns, table.comparable_s[0]) == (2, 120)
    assert table.converted.tolist() == [True]


def test_a_new_segment_enters_the_totals_of_earlier_runs_with_its_usual_time():
    longer = put_segment(ROUTINE, make_segment("s4", 20))
    later = make_line(215, {"s1": 60, "s2": 70, "s3": 60, "s4": 25}, id="run3")
    assert table_of(FIRST, routine=longer).comparable_s.tolist() == [210]
    table = table_of(FIRST, later, routine=longer)
    assert table.comparable_s.tolist() == [215, 215]
    assert table.converted.tolist() == [True, False]


def test_a_large_new_segment_makes_earlier_totals_incomparable():
    longer = put_segment(ROUTINE, make_segment("s4", 100))
    assert np.isnan(table_of(FIRST, routine=longer).comparable_s[0])


@pytest.mark.parametrize(("new_s", "comparable_s"), [(47.5, 237.5), (47.6, np.nan)])
def test_at_most_a_fifth_of_a_total_is_put_in(new_s, comparable_s):
    """A fifth of 190 + 47.5 s is 47.5 s."""
    longer = put_segment(ROUTINE, make_segment("s4", new_s))
    found = table_of(FIRST, routine=longer).comparable_s
    assert found == pytest.approx([comparable_s], nan_ok=True)


@pytest.mark.parametrize(("total_s", "comparable_s"), [(191, 121), (191.01, np.nan)])
def test_splits_that_miss_the_total_by_more_than_a_second_tell_nothing(total_s, comparable_s):
    line = replace(FIRST, total_ms=round(total_s * 1000))
    found = table_of(line, routine=remove_segment(ROUTINE, "s2")).comparable_s
    assert found == pytest.approx([comparable_s], nan_ok=True)


def test_a_gap_beside_a_former_segment_makes_the_total_incomparable():
    gap = replace(SECOND, summary=RunSummary({"s1": 55_000, "s3": 180_000}, {"s1": 55_000}))
    shorter = remove_segment(ROUTINE, "s1")
    assert np.isnan(table_of(gap, routine=shorter).comparable_s[0])


@pytest.mark.parametrize("segments", [("n1", "n2"), ()], ids=["others", "none"])
def test_where_all_segments_were_replaced_no_total_is_comparable(segments):
    table = table_of(FIRST, SECOND, routine=make_routine(segments=segments))
    assert np.isnan(table.comparable_s).all()
    assert table.total_s.tolist() == [190, 180]
    assert table.segment_names[-1] == "a former segment"


def test_the_first_run_of_a_day_is_told_by_the_clock_of_the_place():
    evening = [replace(FIRST, id=f"r{h}", started_ms=NOW_MS + h * HOUR_MS) for h in range(0, 30, 6)]
    shifts = {"r0": 0, "r6": 6, "r12": 12, "r18": 18, "r24": 24}
    here = table_of(*evening, zone=timezone(timedelta(hours=2)))
    there = table_of(*evening, zone=timezone(timedelta(hours=-9)))
    assert set(here.run_ids) == set(shifts)
    assert here.first_of_day.tolist() != there.first_of_day.tolist()
    assert here.first_of_day[0]
    assert isinstance(here.day(0), date)


def test_a_run_broken_off_in_the_morning_takes_the_first_place_of_the_day():
    broken = replace(FIRST, id="early", status="abandoned", started_ms=NOW_MS - HOUR_MS)
    table = table_of(broken, FIRST, replace(SECOND, started_ms=NOW_MS + HOUR_MS))
    assert table.first_of_day.tolist() == [False, False]


def test_a_run_of_unknown_day_is_the_first_of_none():
    table = table_of(replace(FIRST, started_ms=None))
    assert (table.day(0), table.first_of_day.tolist()) == (None, [False])


def test_incidents_and_labels_stand_beside_their_runs():
    spilt = replace(SECOND, summary=replace(SECOND.summary, incidents=("spill",)))
    table = table_of(FIRST, spilt, labels={"run2": RunLabels("Studio", frozenset({"coach"}))})
    assert table.with_incident.tolist() == [False, True]
    assert [label.venue for label in table.labels] == ["", "Studio"]


def test_a_run_is_called_by_its_label_or_by_its_number():
    assert table_of(FIRST, replace(SECOND, label="Dress")).names == ("run 1", "Dress")


def test_without_runs_the_table_is_empty_but_knows_its_segments():
    table = table_of()
    assert (table.runs, table.splits_s.shape) == (0, (0, 3))
    assert table.comparable_s.shape == (0,)
