import numpy as np
import pytest

from server.domain.drift.moves import WINDOW_RUNS, extent, recent_move
from tests.domain.drift.histories import LAWS
from tests.table import table


def move_of(values):
    return recent_move(values, np.arange(float(values.size)))


def scatter(n, seed=1):
    return np.random.default_rng(seed).normal(60, 1, n)


def test_a_slope_holds_its_last_third_against_its_first():
    values = scatter(30) + 0.3 * np.arange(30)
    move = move_of(values)
    assert (move.shape, move.early, move.late) == ("slope", (0, 10), (20, 30))
    assert extent(move, values).shift_s == pytest.approx(6, abs=1)


def test_a_jump_holds_all_runs_since_against_all_before():
    values = scatter(30)
    values[18:] += 6
    move = move_of(values)
    assert (move.shape, move.early, move.late) == ("jump", (0, 18), (18, 30))
    assert extent(move, values).shift_s == pytest.approx(6, abs=1)


def test_only_the_latest_runs_are_looked_at():
    values = np.concatenate([scatter(100) + 50, scatter(WINDOW_RUNS, 2)])
    move = recent_move(values, np.arange(140.0))
    assert move.p > 0.01
    assert (move.late_run, move.trend.n) == (140 + move.late[0] - WINDOW_RUNS, WINDOW_RUNS)


@table("law", LAWS)
@table("n", [10, 25, 40])
def test_a_stable_series_is_called_moving_no_more_often_than_the_chance_says(law, n):
    random = np.random.default_rng(n)
    chances = np.array([move_of(values).p for values in LAWS[law](random, (1200, n))])
    for alarm in (0.05, 0.01):
        assert np.mean(chances <= alarm) <= alarm + 3 * (alarm / 1200) ** 0.5


def test_a_jump_has_to_be_further_from_zero_than_a_slope():
    values = scatter(30)
    slope = move_of(values + 0.3 * np.arange(30))
    values[18:] += 6
    assert move_of(values).cutoff(0.01) > slope.cutoff(0.01) > 2.5


def test_few_runs_make_no_move_and_equal_ones_none_either():
    assert move_of(scatter(7)) is None
    assert move_of(np.full(20, 60.0)).p == 1
