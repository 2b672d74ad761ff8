"""Outside checks: ruptures on clear cases, and the law of the statistic drawn anew. The published
approximation (Lausen and Schumacher 1992, Biometrics 48:73) bounds it from above."""

import math

import numpy as np
import pytest
import ruptures
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from server.domain.drift.changes import (
    ALARM,
    LEAST_SIDE,
    PROBABILITIES,
    TAILS,
    alarm_level,
    best_split,
    changes,
    split_p,
    standard_sums,
)
from tests.domain.drift.histories import LAWS
from tests.table import table


def stepped(random, levels, each):
    return np.concatenate([random.normal(level, 1, each) for level in levels])


@pytest.mark.parametrize("levels", [(40, 46), (40, 45, 40), (60, 55, 65, 58)])
def test_clear_steps_are_found_where_ruptures_finds_them(levels):
    values = stepped(np.random.default_rng(len(levels)), levels, 40)
    expected = ruptures.Pelt(model="l2", min_size=3, jump=1).fit(values).predict(pen=20)
    assert [change.at for change in changes(values)] == expected[:-1]


def test_a_change_tells_the_levels_on_both_sides():
    before, after = [40.0, 42, 41, 43, 40, 42, 41, 44, 39, 42], [50.0, 53, 51, 49, 52, 51, 50, 53]
    (change,) = changes(np.array(before + after))
    assert (change.at, change.before_s, change.after_s) == (10, 41.5, 51.0)
    assert change.shift_s == 9.5
    assert change.p < ALARM


def test_the_place_is_that_of_the_largest_rank_sum():
    random = np.random.default_rng(5)
    values = random.normal(size=30)
    values[18:] += 2
    split = best_split(values)
    scores = [
        abs(stats.ranksums(values[:at], values[at:]).statistic)
        for at in range(LEAST_SIDE, 30 - LEAST_SIDE + 1)
    ]
    assert split.at == LEAST_SIDE + int(np.argmax(scores))
    assert split.p == pytest.approx(split_p(max(scores), 30))


@given(
    st.lists(st.integers(0, 50), min_size=8, max_size=40),
    st.sampled_from([lambda x: np.exp(x / 10), lambda x: 3 * x + 7, lambda x: x**3]),
)
def test_only_the_order_of_the_times_matters(values, rising):
    values = np.array(values, dtype=float)
    assert best_split(values) == best_split(rising(values))


@pytest.mark.parametrize("n", [10, 20, 60])
def test_the_tabled_law_is_drawn_again(n):
    random = np.random.default_rng(n)
    draws = 20_000
    ranks = np.argsort(random.random((draws, n)), axis=1) + 1.0
    largest = np.abs(standard_sums(ranks)).max(axis=1)
    for probability in (0.1, 0.05, 0.02, 0.01):
        share = np.mean(largest > alarm_level(n, probability) + 1e-3)
        assert share <= probability + 3 * math.sqrt(probability / draws)
        if n > 20:
            assert share == pytest.approx(probability, abs=4 * math.sqrt(probability / draws))


@table("law", LAWS)
@table("n", [12, 25, 80])
def test_a_stable_series_changes_no_more_often_than_it_may(law, n):
    random = np.random.default_rng(n)
    draws = 1500
    false = sum(bool(changes(values)) for values in LAWS[law](random, (draws, n)))
    assert false / draws <= ALARM + 3 * math.sqrt(ALARM / draws)


@pytest.mark.parametrize("n", [30, 60, 400])
def test_the_law_lies_below_the_published_approximation(n):
    edge = LEAST_SIDE / n
    for z in TAILS[n][1:6]:
        density = stats.norm.pdf(z)
        published = density * (z - 1 / z) * 2 * math.log((1 - edge) / edge) + 4 * density / z
        assert split_p(z, n) < published < 8 * split_p(z, n)


@given(st.integers(8, 12_000), st.floats(0.5, 8), st.floats(0.5, 8))
def test_the_chance_falls_as_the_statistic_rises(n, one, other):
    low, high = sorted((one, other))
    assert 0 <= split_p(high, n) <= split_p(low, n) <= 1


@table("n", [20, 33, 150, 900])
@table("alarm", [*PROBABILITIES, 1e-6])
def test_the_level_of_an_alarm_is_the_inverse_of_its_chance(n, alarm):
    assert split_p(alarm_level(n, alarm), n) == pytest.approx(alarm, rel=1e-6)


def test_an_outlier_of_ten_minutes_is_no_change_of_level():
    values = np.random.default_rng(1).normal(60, 2, 30)
    values[12] += 600
    assert changes(values) == ()


def test_equal_times_and_few_times_have_no_place_to_change():
    assert best_split(np.full(30, 60.0)) is None
    assert best_split(np.arange(7.0)) is None
    assert changes(np.array([])) == ()


def test_eight_runs_are_too_few_to_be_sure():
    assert changes(np.array([1.0, 2, 3, 4, 101, 102, 103, 104])) == ()
    assert alarm_level(8) == math.inf


def test_times_in_whole_seconds_change_where_finer_ones_do():
    random = np.random.default_rng(2)
    values = stepped(random, (60, 66), 25)
    assert [c.at for c in changes(np.round(values))] == [c.at for c in changes(values)] == [25]
