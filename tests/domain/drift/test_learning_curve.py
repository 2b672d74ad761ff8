"""Outside checks: Wright's 80 % curve (1936; unit times recomputed), the power law of Newell and
Rosenbloom (1981), SciPy's curve fitting, and the Norris set of NIST's Statistical Reference
Datasets for the least squares inside."""

import numpy as np
import pytest
from scipy.optimize import curve_fit

from server.domain.drift.learning_curve import FLAT_OVER_RUNS, learning_curves, least_squares
from tests.domain.drift.histories import LAWS
from tests.domain.shorthand import learning_curve

NORRIS_Y = [
    0.1, 338.8, 118.1, 888.0, 9.2, 228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3, 0.1, 778.1,
    668.8, 339.3, 448.9, 10.8, 557.7, 228.3, 998.0, 888.8, 119.6, 0.3, 0.6, 557.6, 339.3, 888.0,
    998.5, 778.9, 10.2, 117.6, 228.9, 668.4, 449.2, 0.2,
]  # fmt: skip
NORRIS_X = [
    0.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3, 448.6, 777.0, 558.2, 0.4, 0.6, 775.5,
    666.9, 338.0, 447.5, 11.6, 556.0, 228.1, 995.8, 887.6, 120.2, 0.3, 0.3, 556.8, 339.1, 887.2,
    999.0, 779.0, 11.1, 118.3, 229.2, 669.1, 448.9, 0.5,
]  # fmt: skip
WRIGHT_80 = {1: 100, 2: 80, 3: 70.21, 4: 64, 5: 59.56, 8: 51.2, 10: 47.65, 16: 40.96, 20: 38.12}


def curve_of(times):
    return learning_curve(np.asarray(times, dtype=float), np.arange(1.0, len(times) + 1))


def test_the_line_inside_is_that_certified_by_nist():
    x, y = np.array(NORRIS_X), np.array(NORRIS_Y)
    fit = least_squares(y[None], np.ones((1, 36)), x[None])
    assert fit.gain == pytest.approx(1.00211681802045, rel=1e-9)
    assert fit.floor == pytest.approx(-0.262323073774029, rel=1e-9)
    deviation = np.sqrt((fit.residuals**2).sum() / 34)
    assert deviation == pytest.approx(0.884796396144373, rel=1e-9)


def test_an_eighty_percent_curve_is_found_again():
    numbers = np.arange(1, 21)
    curve = curve_of(100 * numbers ** np.log2(0.8))
    assert (curve.form, curve.believed) == ("power", True)
    assert curve.rate == pytest.approx(0.321928, abs=1e-6)
    assert {n: curve.time_s(n) for n in WRIGHT_80} == pytest.approx(WRIGHT_80, abs=0.01)


def test_only_the_runs_that_have_the_mark_enter_the_curve():
    known = np.array([1, 2, 4, 6, 8, 10, 12, 14, 15, 16]) - 1
    times = 100 * (known + 1.0) ** np.log2(0.8)
    curve = learning_curve(times, known + 1.0)
    assert curve.rate == pytest.approx(0.321928, abs=1e-6)


def test_an_exponential_is_found_as_scipy_finds_it():
    random = np.random.default_rng(1)
    numbers = np.arange(60.0)
    times = 580 + 90 * np.exp(-0.12 * numbers) + random.normal(0, 4, 60)
    curve = curve_of(times)
    fitted, _ = curve_fit(lambda n, a, b, c: a + b * np.exp(-c * n), numbers, times, (580, 90, 0.1))
    assert curve.form == "exponential"
    found = (curve.floor_s, curve.gain_s, curve.rate)
    assert found == pytest.approx(tuple(fitted), rel=0.01)


def test_series_fitted_together_are_those_fitted_alone():
    random = np.random.default_rng(3)
    numbers = np.arange(1.0, 31)
    times = 60 + 20 * np.exp(-0.2 * numbers) + random.normal(0, 2, (4, 30))
    times[1, 5:9] = np.nan
    times[2, :25] = np.nan
    together = learning_curves(times, numbers)
    assert together[2] is None
    for row in (0, 1, 3):
        known = np.isfinite(times[row])
        alone = learning_curve(times[row, known], numbers[known])
        assert together[row].floor_s == pytest.approx(alone.floor_s, rel=1e-6)
        assert together[row].rate == pytest.approx(alone.rate, rel=1e-5)


def test_a_mishap_of_ten_minutes_bends_no_curve():
    random = np.random.default_rng(2)
    numbers = np.arange(50.0)
    times = 580 + 90 * np.exp(-0.12 * numbers) + random.normal(0, 4, 50)
    spoilt = times.copy()
    spoilt[30] += 600
    assert curve_of(spoilt).floor_s == pytest.approx(curve_of(times).floor_s, abs=3)
    assert curve_of(spoilt).believed


@pytest.mark.parametrize("law", LAWS)
@pytest.mark.parametrize("slope", [0, -0.2], ids=["stable", "straight"])
def test_stable_and_straight_series_are_hardly_ever_called_learning(law, slope):
    random = np.random.default_rng(9)
    believed = tried = 0
    for n in (10, 30, 100):
        scatter = LAWS[law](random, (1000, n)) + slope * np.arange(n)
        curves = learning_curves(scatter, np.arange(1.0, n + 1))
        believed += sum(curve is not None and curve.believed for curve in curves)
        tried += 1000
    assert believed / tried <= 0.01 + 3 * (0.01 / tried) ** 0.5


def test_a_time_that_rises_is_no_learning_curve():
    assert curve_of(60 + np.arange(20.0)) is None


def test_it_flattens_where_ten_more_runs_save_less_than_half_the_scatter():
    random = np.random.default_rng(4)
    times = 580 + 90 * np.exp(-0.1 * np.arange(80)) + random.normal(0, 6, 80)
    curve = curve_of(times)

    def saving(n):
        return curve.time_s(n) - curve.time_s(n + FLAT_OVER_RUNS)

    assert saving(curve.flat_from) < curve.spread_s / 2 <= saving(curve.flat_from - 1)
    true_from = 1 + np.log(2 * 90 * (1 - np.exp(-1)) / 6) / 0.1
    assert curve.flat_from == pytest.approx(true_from, abs=6)


def test_a_curve_far_from_flat_does_not_say_where_it_will_be():
    numbers = np.arange(1, 13)
    assert curve_of(600 * numbers**-0.05).flat_from is None


def test_few_or_equal_times_have_no_curve():
    assert curve_of([70, 66, 63, 61, 60, 59.5, 59]) is None
    assert curve_of([60.0] * 20) is None
