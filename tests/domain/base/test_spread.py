"""Outside checks: the certified values of the NIST Statistical Reference Datasets (univariate
summary statistics: Mavro, NumAcc1, NumAcc4), and NumPy for everything else."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.domain.base.spread import describe

MAVRO = [
    2 + last_digits / 100_000
    for last_digits in (
        180, 170, 180, 190, 180, 170, 150, 140, 150, 150, 170, 180, 180, 190, 190, 210, 200, 160,
        140, 130, 130, 150, 150, 160, 150, 140, 130, 140, 150, 140, 150, 160, 150, 160, 190, 200,
        200, 210, 220, 230, 240, 250, 270, 260, 260, 260, 270, 260, 250, 240,
    )
]  # fmt: skip
NUM_ACC_1 = [10_000_001, 10_000_003, 10_000_002]
NUM_ACC_4 = [10_000_000.2, *[10_000_000.1, 10_000_000.3] * 500]

series = st.lists(st.integers(0, 3_600_000), min_size=2, max_size=40)


CERTIFIED = pytest.mark.parametrize(
    ("values", "mean", "sd", "within"),
    [
        (MAVRO, 2.001856, 4.29123454003053e-4, 1e-9),
        (NUM_ACC_1, 10_000_002, 1, 0),
        (NUM_ACC_4, 10_000_000.2, 0.1, 1e-8),
    ],
    ids=["Mavro", "NumAcc1", "NumAcc4"],
)


@CERTIFIED
def test_mean_and_deviation_are_those_certified_by_nist(values, mean, sd, within):
    level = describe(values)
    assert level.mean == pytest.approx(mean, rel=within)
    assert level.sd == pytest.approx(sd, rel=within)


@given(series)
def test_every_figure_is_that_of_numpy(values):
    level = describe(values)
    assert (level.n, level.best, level.worst) == (len(values), np.min(values), np.max(values))
    assert level.mean == pytest.approx(np.mean(values))
    assert level.sd == pytest.approx(np.std(values, ddof=1), abs=1e-6)
    assert level.median == np.median(values)


@given(series)
def test_drift_is_the_last_value_against_the_median_of_those_before_it(values):
    assert describe(values).drift == values[-1] - np.median(values[:-1])


def test_a_slow_last_run_drifts_upwards():
    level = describe([600, 590, 604, 585, 640])
    assert (level.last, level.drift) == (640, 640 - 595)


@given(series)
def test_a_steady_shift_moves_the_level_and_leaves_spread_and_drift(values):
    level, shifted = describe(values), describe([value + 1000 for value in values])
    assert shifted.median == level.median + 1000
    assert shifted.sd == pytest.approx(level.sd, abs=1e-6)
    assert shifted.drift == level.drift


@given(series)
def test_order_matters_to_last_and_drift_alone(values):
    level, ordered = describe(values), describe(sorted(values))
    assert (level.median, level.best, level.worst) == (ordered.median, ordered.best, ordered.worst)
    assert ordered.last == ordered.worst


def test_a_single_value_has_no_spread_and_no_drift():
    level = describe([595])
    assert (level.mean, level.median, level.best, level.last) == (595, 595, 595, 595)
    assert (level.sd, level.drift) == (None, None)


def test_nothing_has_no_level():
    assert describe([]) is None
