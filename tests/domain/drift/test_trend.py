"""Outside checks: SciPy's Theil-Sen, pymannkendall's Mann-Kendall, a worked example of class notes
(Little, Holy Cross) and a small case of run seconds computed with pymannkendall."""

import numpy as np
import pymannkendall
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from server.domain.drift.trend import TREND_RUNS, trend

LITTLE = np.array(
    [12.9, 14.8, 13.2, 15.7, 13.8, 15.6, 12.9, 11.0, 17.3, 15.9, 19.0, 18.3, 20.1, 21.7]
)
SECONDS = np.array([600.0, 590, 604, 585, 580, 588, 575, 570])

series = st.lists(st.integers(0, 400), min_size=5, max_size=40).map(
    lambda values: np.array(values) / 4
)


def trend_of(values, **more):
    return trend(values, np.arange(1.0, values.size + 1), **more)


def test_score_variance_and_chance_are_those_of_the_worked_example():
    found = trend_of(LITTLE)
    assert (found.score, found.variance) == (54, pytest.approx(332.667, abs=5e-4))
    assert found.p == pytest.approx(0.00366, abs=5e-5)


def test_slope_and_bounds_are_those_of_the_worked_example():
    found = trend_of(LITTLE)
    assert found.slope_s == pytest.approx(0.566667, abs=1e-6)
    assert (found.low_s, found.high_s) == pytest.approx((0.3250, 0.8667), abs=1e-4)
    assert found.intercept_s == pytest.approx(11.40)


def test_eight_runs_that_get_faster_do_so_by_four_seconds_a_run():
    found = trend_of(SECONDS)
    assert (found.score, found.slope_s) == (-20, pytest.approx(-3.9583, abs=5e-4))
    assert found.p == pytest.approx(0.01874, abs=5e-5)


@given(series)
def test_the_test_is_that_of_pymannkendall(values):
    found, expected = trend_of(values), pymannkendall.original_test(values)
    assert (found.score, found.variance) == (expected.s, pytest.approx(expected.var_s))
    assert found.p == pytest.approx(expected.p, abs=1e-9)


@given(series)
def test_the_slope_is_that_of_scipy(values):
    found, expected = trend_of(values), stats.theilslopes(values, np.arange(1, values.size + 1))
    assert found.slope_s == pytest.approx(expected.slope)
    assert found.intercept_s == pytest.approx(expected.intercept)
    if found.low_s is not None:
        assert (found.low_s, found.high_s) == pytest.approx(
            (expected.low_slope, expected.high_slope)
        )


@given(series, st.data())
def test_gaps_between_runs_count_as_runs(values, data):
    gaps = data.draw(st.lists(st.integers(1, 4), min_size=values.size, max_size=values.size))
    at_run = np.cumsum(gaps).astype(float)
    found = trend(values, at_run)
    assert found.slope_s == pytest.approx(stats.theilslopes(values, at_run).slope)
    assert found.runs == at_run[-1] - at_run[0] + 1


def test_four_runs_have_a_slope_that_nothing_bounds():
    found = trend_of(np.array([4.0, 3, 2, 1]))
    assert (found.slope_s, found.low_s, found.high_s) == (-1, None, None)


def test_two_runs_have_no_trend():
    assert trend_of(np.array([4.0, 3.0])) is None


def test_equal_times_have_no_slope_and_no_chance_against_it():
    found = trend_of(np.full(12, 60.0))
    assert (found.slope_s, found.score, found.p) == (0, 0, 1)


def test_an_outlier_of_ten_minutes_hardly_moves_the_slope():
    steady = 60 - 0.5 * np.arange(20.0)
    spoilt = steady.copy()
    spoilt[10] += 600
    assert trend_of(spoilt).slope_s == pytest.approx(-0.5, abs=0.01)


def test_a_trend_is_one_of_the_latest_runs():
    values = np.concatenate([np.linspace(900, 60, 400), np.linspace(60, 75, TREND_RUNS)])
    assert trend_of(values).slope_s > 0
    assert trend_of(values) == trend(values[-TREND_RUNS:], np.arange(401.0, 401 + TREND_RUNS))


def test_the_slope_is_bounded_as_often_as_it_says():
    random = np.random.default_rng(7)
    held = 0
    for _ in range(1500):
        found = trend_of(0.3 * np.arange(15) + random.standard_t(3, size=15))
        held += found.low_s <= 0.3 <= found.high_s
    assert held / 1500 == pytest.approx(0.95, abs=3 * 0.0057)
