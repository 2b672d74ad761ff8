"""Coverage of the next run by simulation, with the choice of the runs that speak for it."""

import numpy as np
import pytest

from server.domain.drift.predictive import predictive
from server.domain.drift.recent import (
    TREND_RUNS,
    WINDOW_RUNS,
    level_starts,
    samples,
    samples_from,
)
from tests.domain.drift.histories import LAWS


def sample_of(totals, moment=None):
    (sample,) = samples(totals, [totals.size if moment is None else moment])
    return sample


def steady(n, seed=0):
    return np.random.default_rng(seed).normal(590, 6, n)


def test_a_stable_series_speaks_with_its_latest_runs():
    totals = steady(60)
    sample = sample_of(totals)
    assert sample.basis == "level"
    assert sample.values_s[0] == pytest.approx(totals[-WINDOW_RUNS:])


def test_before_eight_runs_all_of_them_speak():
    totals = np.array([700.0, 650, 620, 600, 590, 585, 583])
    assert sample_of(totals).values_s[0] == pytest.approx(totals)


def test_after_a_jump_only_the_runs_since_speak():
    totals = np.concatenate([steady(30), steady(10, 1) + 40])
    sample = sample_of(totals)
    assert (sample.basis, sample.values_s.shape[1]) == ("change", 10)


@pytest.mark.parametrize("late", [3, 4, 5])
def test_a_clear_jump_is_seen_after_three_runs(late):
    totals = np.concatenate([steady(30), steady(late, 1) + 60])
    assert sample_of(totals).values_s.shape[1] == late


def test_two_runs_after_a_jump_are_not_yet_a_level():
    totals = np.concatenate([steady(30), steady(2, 1) + 60])
    assert sample_of(totals).basis == "level"


def test_a_slope_is_carried_forward_to_the_next_run():
    random = np.random.default_rng(3)
    totals = 650 - 2 * np.arange(30.0) + random.normal(0, 3, 30)
    sample = sample_of(totals)
    assert (sample.basis, sample.values_s.shape[1]) == ("trend", TREND_RUNS)
    assert np.median(sample.values_s) == pytest.approx(650 - 2 * 30, abs=3)


@pytest.mark.parametrize("law", LAWS)
@pytest.mark.parametrize("n", [20, 40])
def test_a_stable_series_is_hardly_ever_taken_for_a_moving_one(law, n):
    random = np.random.default_rng(n)
    windows = 590 + 6 * LAWS[law](random, (4000, n))
    assert np.mean(level_starts(windows) > 0) <= 0.013 + 3 * (0.013 / 4000) ** 0.5


def test_earlier_moments_see_only_what_had_happened():
    totals = np.concatenate([steady(30), steady(20, 1) + 40])
    sample = sample_of(totals, 30)
    assert sample.values_s.max() < 620


def test_many_moments_at_once_are_those_one_by_one():
    totals = np.concatenate([steady(50), steady(30, 1) + 20])
    together = {
        int(moment): row
        for sample in samples(totals, range(1, 81))
        for moment, row in zip(sample.moments, sample.values_s, strict=True)
    }
    assert sorted(together) == list(range(1, 81))
    for moment in (1, 2, 9, 40, 55, 80):
        assert together[moment] == pytest.approx(sample_of(totals, moment).values_s[0])


def test_equal_totals_never_move():
    assert sample_of(np.full(50, 590.0)).basis == "level"


def held(values, level):
    """The part of rows whose last value lies in the interval from the values before it."""
    count = 0
    for sample in samples_from(np.arange(len(values)), values[:, -WINDOW_RUNS - 1 : -1]):
        ahead, last = predictive(sample.values_s), values[sample.moments, -1]
        low, high = ahead.quantile_s((1 - level) / 2), ahead.quantile_s((1 + level) / 2)
        count += np.sum((low <= last) & (last <= high))
    return count / len(values)


@pytest.mark.parametrize("level", [0.8, 0.95])
@pytest.mark.parametrize("law", LAWS)
@pytest.mark.parametrize("n", [2, 5, 20])
def test_intervals_hold_the_next_run_of_a_stable_routine(law, n, level):
    """Within three Monte Carlo errors and the two points by which one law may differ from the
    average over light and heavy tails (see `test_predictive`)."""
    draws = 20_000
    values = 590 + 8 * LAWS[law](np.random.default_rng(n), (draws, n + 1))
    error = (level * (1 - level) / draws) ** 0.5
    assert held(values, level) == pytest.approx(level, abs=3 * error + 0.02)


@pytest.mark.parametrize("n", [2, 5, 20])
@pytest.mark.parametrize("level", [0.8, 0.95])
def test_over_light_and_heavy_tails_together_they_hold_what_they_say(n, level):
    draws = 20_000
    random = np.random.default_rng(n)
    values = [590 + 8 * law(random, (draws, n + 1)) for law in LAWS.values()]
    error = (level * (1 - level) / (4 * draws)) ** 0.5
    average = np.mean([held(each, level) for each in values])
    assert average == pytest.approx(level, abs=3 * error + 0.006)


@pytest.mark.parametrize(
    ("drift", "n", "least"),
    [
        (lambda n: -0.3 * np.arange(n), 40, 0.76),
        (lambda n: 5.0 * (np.arange(n) >= n - 7), 40, 0.72),
        (lambda n: 12 * np.exp(-0.2 * np.arange(n)), 40, 0.76),
        (lambda n: -0.1 * np.arange(n), 20, 0.66),
    ],
    ids=["slope", "jump six runs ago", "learning", "slope too weak to see"],
)
def test_under_drift_intervals_hold_somewhat_less_and_say_how_much(drift, n, least):
    """What an 80 % interval still holds where the routine moves, in deviations of a run."""
    random = np.random.default_rng(11)
    values = 590 + 8 * (random.normal(size=(4000, n + 1)) + drift(n + 1))
    assert least <= held(values, 0.8) <= 0.84
