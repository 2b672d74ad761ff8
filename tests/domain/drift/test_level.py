"""Outside checks: NIST Statistical Reference Datasets (Mavro, NumAcc1, NumAcc4: certified values),
SciPy's quantile test."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from server.domain.drift.level import RECENT_RUNS, level_of, off_plan
from tests.domain.base.test_spread import CERTIFIED

times = st.lists(st.integers(1, 900_000).map(lambda ms: ms / 1000), min_size=2, max_size=60)


@CERTIFIED
def test_mean_and_deviation_are_those_certified_by_nist(values, mean, sd, within):
    level = level_of(np.array(values, dtype=float))
    assert level.mean_s == pytest.approx(mean, rel=within)
    assert level.sd_s == pytest.approx(sd, rel=within)


@given(times)
def test_the_robust_deviation_is_that_of_scipy(values):
    level = level_of(np.array(values))
    expected = stats.median_abs_deviation(values, scale="normal")
    assert level.robust_sd_s == pytest.approx(expected, rel=1e-4, abs=1e-9)
    assert level.median_s == pytest.approx(np.median(values))


@given(times)
def test_the_last_is_a_run_that_was_made(values):
    level = level_of(np.array(values))
    assert level.n == len(values)
    assert level.last_s == values[-1]


def test_an_outlier_of_ten_minutes_leaves_the_robust_figures_alone():
    steady = np.array([58.0, 60, 61, 59, 60, 62, 58, 61, 60])
    spoilt = np.append(steady, 660.0)
    assert abs(level_of(spoilt).median_s - level_of(steady).median_s) <= 0.5
    assert level_of(spoilt).robust_sd_s < 3 < 100 < level_of(spoilt).sd_s


def test_a_single_time_has_no_spread_and_none_at_all_has_no_level():
    assert (level_of(np.array([60.0])).sd_s, level_of(np.array([60.0])).robust_sd_s) == (None, None)
    assert level_of(np.array([])) is None


@given(
    st.lists(st.integers(1, 90_000), min_size=6, max_size=RECENT_RUNS, unique=True),
    st.integers(1, 90_000),
)
def test_the_distance_from_the_plan_is_bounded_as_scipy_bounds_a_median(values_ms, planned_ms):
    values = np.array(values_ms) / 1000
    off = off_plan(values, planned_ms / 1000)
    test = stats.quantile_test(values, q=planned_ms / 1000, p=0.5)
    bounds = test.confidence_interval(0.95)
    assert off.low_s == pytest.approx(bounds.low - planned_ms / 1000)
    assert off.high_s == pytest.approx(bounds.high - planned_ms / 1000)
    if planned_ms not in values_ms:
        assert off.p == pytest.approx(test.pvalue)


def test_only_the_latest_runs_are_held_against_the_plan():
    off = off_plan(np.concatenate([np.full(50, 90.0), np.full(RECENT_RUNS, 63.0)]), 60.0)
    assert (off.n, off.off_s) == (RECENT_RUNS, 3.0)


def test_few_runs_bound_no_median():
    off = off_plan(np.array([61.0, 62, 63]), 60.0)
    assert (off.off_s, off.low_s, off.high_s) == (2.0, None, None)
    assert off_plan(np.array([]), 60.0) is None
