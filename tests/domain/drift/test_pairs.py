from dataclasses import replace

import numpy as np
import pytest

from server.domain.drift.pairs import chosen, compared, first_of_day, tagged, with_incident
from server.domain.drift.run_table import run_table
from server.domain.runs.labels import RunLabels
from tests.domain.drift.histories import make_lines, make_plan, make_table
from tests.domain.shorthand import before_and_after

SPLITS = np.random.default_rng(1).normal(50, 2, (24, 3))


def labelled(**labels):
    return run_table(make_plan(3), make_lines(SPLITS), {}, labels=labels)


def test_the_first_runs_of_days_are_held_against_later_ones():
    table = make_table(SPLITS, hours_apart=8)
    pair = first_of_day(table)
    assert pair.first.tolist() == table.first_of_day.tolist()
    assert (pair.first ^ pair.second).all()


def test_runs_of_unknown_days_are_in_neither_group():
    lines = [replace(line, started_ms=None) for line in make_lines(SPLITS)]
    pair = first_of_day(run_table(make_plan(3), lines, {}))
    assert not (pair.first | pair.second).any()


def test_a_slow_first_run_of_the_day_is_found_in_total_and_segment():
    splits = SPLITS.copy()
    splits[make_table(SPLITS, hours_apart=8).first_of_day, 1] += 9
    table = make_table(splits, hours_apart=8)
    result = compared(table, first_of_day(table))
    assert result.total.low_s > 0
    assert result.segments[1].difference.shift_s == pytest.approx(9, abs=2)
    assert result.segments[0].difference.low_s < 0 < result.segments[0].difference.high_s


def test_incidents_divide_the_runs():
    lines = make_lines(SPLITS)
    lines[3] = replace(lines[3], summary=replace(lines[3].summary, incidents=("spill",)))
    pair = with_incident(run_table(make_plan(3), lines, {}))
    assert (pair.first.sum(), pair.second.sum(), bool(pair.first[3])) == (1, 23, True)


def test_runs_with_both_tags_stand_on_neither_side():
    alone, watched = RunLabels(tags=frozenset({"alone"})), RunLabels(tags=frozenset({"coach"}))
    both = RunLabels(tags=frozenset({"alone", "coach"}))
    pair = tagged(labelled(r0=alone, r1=watched, r2=both), "alone", "coach")
    assert np.flatnonzero(pair.first).tolist() == [0]
    assert np.flatnonzero(pair.second).tolist() == [1]


def test_an_edit_divides_the_runs_into_before_and_after():
    pair = before_and_after(make_table(SPLITS), "r10")
    assert (pair.first.sum(), pair.second.sum()) == (14, 10)


def test_two_single_runs_are_compared_with_what_runs_usually_differ_by():
    table = make_table(SPLITS)
    result = compared(table, chosen(table, ["r1"], ["r2"]))
    told = result.segments[0]
    assert told.difference.shift_s == pytest.approx(SPLITS[1, 0] - SPLITS[2, 0], abs=1e-3)
    assert told.difference.low_s is None
    assert told.usual_s == pytest.approx(2.77 * 2, rel=0.6)
    assert result.usual_total_s > 0


def test_segments_that_one_group_never_ran_have_no_difference():
    splits = SPLITS.copy()
    splits[:12, 2] = np.nan
    table = make_table(splits)
    assert compared(table, before_and_after(table, "r12")).segments[2].difference is None
