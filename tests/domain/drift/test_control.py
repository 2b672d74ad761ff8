"""Outside checks, point by point: the worked examples of the NIST/SEMATECH e-Handbook of
Statistical Methods, 6.3.2.2 (individuals and moving range) and 6.3.2.4 (EWMA)."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.domain.drift.control import ewma, individuals
from tests.domain.drift.histories import LAWS

FLOW = np.array([49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1])
RANGES = [2.0, 2.3, 1.4, 3.5, 3.4, 1.4, 0.2, 1.2, 1.5]
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


def test_ranges_and_their_limit_are_those_of_the_handbook():
    chart = individuals(FLOW)
    assert np.abs(np.diff(FLOW)) == pytest.approx(RANGES)
    assert chart.range_upper_s == pytest.approx(6.1347, abs=5e-4)
    assert chart.range_signals == ()


def test_the_sample_deviation_is_larger_than_the_one_between_neighbours():
    assert FLOW.std(ddof=1) == pytest.approx(2.03385, abs=1e-5)
    assert individuals(FLOW).sigma_s == pytest.approx(1.6647, abs=1e-4)


def test_the_smoothed_series_is_that_of_the_handbook_point_by_point():
    chart = ewma(SERIES, target_s=50, sigma_s=2.0539)
    assert chart.values_s == pytest.approx(SMOOTHED, abs=0.005)
    assert chart.signals == ()


def test_the_settled_limits_are_those_of_the_handbook():
    chart = ewma(SERIES, target_s=50, sigma_s=2.0539)
    assert 50 + chart.final_half_width_s == pytest.approx(52.5884, abs=2e-4)
    assert 50 - chart.final_half_width_s == pytest.approx(47.4115, abs=2e-4)


def test_the_first_limit_is_that_of_one_weighted_value():
    chart = ewma(SERIES, target_s=50, sigma_s=2.0)
    assert chart.half_widths_s[0] == pytest.approx(3 * 0.3 * 2.0)
    assert list(chart.half_widths_s) == sorted(chart.half_widths_s)
    assert chart.half_widths_s[-1] == pytest.approx(chart.final_half_width_s, rel=1e-5)


@given(series, st.sampled_from([0.1, 0.3, 0.7]))
def test_the_smoothed_series_follows_its_definition(values, weight):
    chart = ewma(values, target_s=30, sigma_s=1, weight=weight)
    before = 30.0
    for value, smoothed in zip(values, chart.values_s, strict=True):
        before = weight * value + (1 - weight) * before
        assert smoothed == pytest.approx(before, abs=1e-9)


@given(series, st.floats(-20, 20))
def test_a_steady_shift_moves_the_limits_and_signals_nothing(values, shift):
    chart, shifted = individuals(values), individuals(values + shift)
    assert shifted.upper_s == pytest.approx(chart.upper_s + shift, abs=1e-6)
    assert shifted.mean_range_s == pytest.approx(chart.mean_range_s, abs=1e-6)


def test_a_run_out_of_the_ordinary_is_named_with_its_step():
    values = np.concatenate([SERIES, [90.0], SERIES])
    chart = individuals(values)
    assert chart.signals == (20,)
    assert chart.range_signals == (20, 21)


def test_a_small_lasting_shift_shows_in_the_smoothed_series_alone():
    random = np.random.default_rng(3)
    values = 50 + random.normal(size=60)
    values[40:] += 1.5
    assert individuals(values[:40]).signals == ()
    chart = ewma(values, target_s=50, sigma_s=1.0)
    assert chart.signals
    assert min(chart.signals) > 40


@pytest.mark.parametrize("n", [8, 20, 100])
def test_a_stable_series_signals_no_more_often_than_the_chart_promises(n):
    """0.27 % of single values (normal law, three sigma); 0.9 % of ranges, whose law is skewed."""
    random = np.random.default_rng(n)
    runs = 40_000 // n
    signals = ranges = smoothed = 0
    for values in LAWS["normal"](random, (runs, n)):
        chart = individuals(values)
        signals += len(chart.signals)
        ranges += len(chart.range_signals)
        smoothed += len(ewma(values, target_s=chart.center_s, sigma_s=chart.sigma_s).signals)
    error = 3 * (0.0027 / 40_000) ** 0.5
    assert signals / 40_000 <= 0.0027 + error
    assert smoothed / 40_000 <= 0.0027 + 2 * error
    assert ranges / 40_000 <= 0.0093 + error


def test_equal_times_signal_nothing_and_a_single_one_has_no_chart():
    chart = individuals(np.full(9, 60.0))
    assert (chart.signals, chart.range_signals, chart.lower_s, chart.upper_s) == ((), (), 60, 60)
    assert individuals(np.array([60.0])) is None
