"""Outside checks, point by point: the worked examples of the NIST/SEMATECH e-Handbook of
Statistical Methods, 6.3.2.2 (individuals and moving range) and 6.3.2.4 (EWMA)."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.domain.drift.control import ewma_reach, ewma_signals, individuals, smoothed
from tests.domain.drift.histories import LAWS

FLOW = np.array([49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1])
SERIES = np.concatenate([[52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5], FLOW])
SMOOTHED = [
    50.60, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33, 50.11, 49.36, 49.52,
    50.05, 49.38, 49.92, 50.73, 51.23, 51.94, 51.99,
]  # fmt: skip

series = st.lists(st.integers(0, 60_000), min_size=2, max_size=60).map(
    lambda values: np.array(values) / 1000
)


def test_limits_of_single_values_are_those_of_the_handbook():
    chart = individuals(FLOW)
    assert chart.center_s == pytest.approx(50.81)
    assert chart.mean_range_s == pytest.approx(1.8778, abs=5e-5)
    assert (chart.lower_s, chart.upper_s) == pytest.approx((45.8159, 55.8041), abs=5e-4)
    assert chart.signals == ()


def test_the_sample_deviation_is_larger_than_the_one_between_neighbours():
    assert FLOW.std(ddof=1) == pytest.approx(2.03385, abs=1e-5)
    assert individuals(FLOW).sigma_s == pytest.approx(1.6647, abs=1e-4)


def test_the_smoothed_series_is_that_of_the_handbook_point_by_point():
    assert 50 + smoothed(SERIES - 50) == pytest.approx(SMOOTHED, abs=0.005)
    assert ewma_signals(SERIES, target_s=50, sigma_s=2.0539) == ()


def test_the_settled_limits_are_those_of_the_handbook():
    settled_s = 2.0539 * ewma_reach(40)[-1]
    assert (50 + settled_s, 50 - settled_s) == pytest.approx((52.5884, 47.4115), abs=2e-4)


def test_the_first_limit_is_that_of_one_weighted_value():
    reach = ewma_reach(20)
    assert reach[0] == pytest.approx(3 * 0.3)
    assert list(reach) == sorted(reach)


@given(series, st.sampled_from([0.1, 0.3, 0.7]))
def test_the_smoothed_series_follows_its_definition(values, weight):
    before = 0.0
    for value, mean in zip(values, smoothed(values, weight), strict=True):
        before = weight * value + (1 - weight) * before
        assert mean == pytest.approx(before, abs=1e-9)


@given(series, st.floats(-20, 20))
def test_a_steady_shift_moves_the_limits_and_signals_nothing(values, shift):
    chart, shifted = individuals(values), individuals(values + shift)
    assert shifted.upper_s == pytest.approx(chart.upper_s + shift, abs=1e-6)
    assert shifted.mean_range_s == pytest.approx(chart.mean_range_s, abs=1e-6)


def test_a_run_out_of_the_ordinary_is_named():
    assert individuals(np.concatenate([SERIES, [90.0], SERIES])).signals == (20,)


def test_a_small_lasting_shift_shows_in_the_smoothed_series_alone():
    random = np.random.default_rng(3)
    values = 50 + random.normal(size=60)
    values[40:] += 1.5
    assert individuals(values[:40]).signals == ()
    signals = ewma_signals(values, target_s=50, sigma_s=1.0)
    assert signals
    assert min(signals) > 40


@pytest.mark.parametrize("n", [8, 20, 100])
def test_a_stable_series_signals_no_more_often_than_the_chart_promises(n):
    """0.27 % of single values (normal law, three sigma)."""
    random = np.random.default_rng(n)
    runs = 40_000 // n
    signals = creeping = 0
    for values in LAWS["normal"](random, (runs, n)):
        chart = individuals(values)
        signals += len(chart.signals)
        around = {"target_s": chart.center_s, "sigma_s": chart.sigma_s}
        creeping += len(ewma_signals(values, **around))
    error = 3 * (0.0027 / 40_000) ** 0.5
    assert signals / 40_000 <= 0.0027 + error
    assert creeping / 40_000 <= 0.0027 + 2 * error


def test_equal_times_signal_nothing_and_a_single_one_has_no_chart():
    chart = individuals(np.full(9, 60.0))
    assert (chart.signals, chart.lower_s, chart.upper_s) == ((), 60, 60)
    assert individuals(np.array([60.0])) is None
