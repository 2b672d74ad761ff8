"""The whole analysis, and the bad input it has to live with."""

from dataclasses import replace

import numpy as np
import pytest

from server.domain.drift.analysis import analyse
from server.domain.drift.run_table import run_table
from server.domain.drift.sentences import sentences
from tests.domain.drift.histories import make_drift, make_lines, make_plan, make_table
from tests.domain.shorthand import before_and_after
from tests.factories import RULES


def scatter(runs, segments=4, seed=1):
    return 50 + np.random.default_rng(seed).normal(0, 2, (runs, segments))


def parts(series):
    return (series.level, series.trend, series.move, series.charts, series.learning)


def test_without_runs_everything_is_empty_and_nothing_fails():
    drift = make_drift(np.empty((0, 4)))
    assert [parts(each) for each in drift.segments] == [(None,) * 5] * 4
    assert (drift.together, drift.ahead, drift.calibration) == (None, None, None)
    assert drift.looks.found == ()
    assert [pair.total for pair in drift.pairs] == [None, None]


def test_one_run_has_a_level_and_nothing_else():
    drift = make_drift(scatter(1))
    assert drift.total.level.n == 1
    assert parts(drift.total)[1:] == (None,) * 4


def test_equal_runs_have_no_drift_no_signal_and_no_sentence_beyond_the_forecast():
    drift = make_drift(np.full((30, 4), 50.0), foretold=True)
    assert drift.total.trend.slope_s == 0
    assert drift.total.changes == ()
    assert drift.total.charts.signals == ()
    assert [each.kind for each in sentences(drift)] == ["forecast"]


def test_a_run_broken_off_changes_no_figure():
    lines = make_lines(scatter(12))
    broken = replace(make_lines(scatter(1, seed=9))[0], id="broken", status="abandoned")
    plain, with_it = (
        analyse(run_table(make_plan(4), each, {}), RULES) for each in (lines, [*lines, broken])
    )
    assert with_it.total.trend == plain.total.trend
    assert (with_it.table.broken_off, with_it.table.run_ids) == (1, plain.table.run_ids)


def test_missing_marks_leave_the_segment_fewer_runs_and_the_rest_alone():
    splits = scatter(30)
    full = make_drift(splits)
    gaps = splits.copy()
    gaps[::5, 2] = np.nan
    drift = make_drift(gaps)
    assert (drift.segments[2].level.n, drift.segments[1].level.n) == (24, 30)
    assert drift.segments[1].trend == full.segments[1].trend
    assert drift.segments[2].runs.tolist() == [run for run in range(30) if run % 5]
    assert drift.together.n == 24


def test_where_all_segments_were_replaced_the_old_ones_are_told_and_no_total():
    lines = make_lines(scatter(20))
    plan = make_plan(0)
    drift = analyse(run_table(plan, lines, {"s1": "Shake"}), RULES)
    assert [each.name for each in drift.segments][1] == "Shake"
    assert drift.segments[1].level.n == 20
    assert (drift.total.level, drift.together) == (None, None)


def test_an_outlier_of_ten_minutes_is_a_signal_and_no_trend():
    splits = scatter(40)
    splits[20, 1] += 600
    drift = make_drift(splits)
    assert 20 in drift.segments[1].charts.signals
    assert drift.segments[1].changes == ()
    assert abs(drift.segments[1].trend.slope_s) < 0.1
    assert drift.together.shares[1].share < 0.6
    assert not [each for each in sentences(drift) if each.kind in ("segment", "total")]


def test_a_thousand_runs_are_told_as_a_few_are():
    splits = scatter(1000, 3)
    splits[700:, 0] += 5
    drift = make_drift(splits)
    assert [change.at for change in drift.segments[0].changes] == [700]
    assert drift.segments[0].charts.runs == tuple(range(800, 1000))
    assert 1 <= len(sentences(drift)) <= 5


def test_limits_are_those_of_the_runs_since_the_last_change():
    splits = scatter(40)
    splits[25:, 0] += 10
    charts = make_drift(splits).segments[0].charts
    assert charts.runs == tuple(range(25, 40))
    assert charts.individuals.center_s == pytest.approx(60, abs=2)


def test_right_after_a_change_the_limits_reach_back_behind_it():
    splits = scatter(60)
    splits[56:, 0] += 30
    (change,) = make_drift(splits).segments[0].changes
    assert change.at == 56
    assert len(make_drift(splits).segments[0].charts.runs) == 60


def test_pairs_that_are_asked_for_stand_beside_the_usual_ones():
    table = make_table(scatter(20))
    drift = analyse(table, RULES, [before_and_after(table, "r10")])
    assert [pair.pair.key for pair in drift.pairs] == ["first-of-day", "incidents", "from-r10"]


def test_the_analysis_of_the_same_runs_is_the_same():
    one, other = (make_drift(scatter(30), foretold=True) for _ in range(2))
    assert one.total.trend == other.total.trend
    assert one.ahead.forecast == other.ahead.forecast
    assert sentences(one) == sentences(other)
