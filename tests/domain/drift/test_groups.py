"""Outside checks: SciPy (Welch's interval and test, rank-sum test), and the mouse data of Efron and
Tibshirani, An Introduction to the Bootstrap, table 2.1 (data from memory)."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy import stats

from server.domain.drift.groups import LATEST_RUNS, difference, usual_difference_s
from tests.domain.drift.histories import LAWS
from tests.table import table

TREATED = np.array([94.0, 197, 16, 38, 99, 141, 23])
CONTROL = np.array([52.0, 104, 146, 10, 51, 30, 40, 27, 46])


def groups_of(least, most):
    times = st.lists(st.integers(1, 90_000), min_size=least, max_size=most)
    return times.map(lambda values: np.array(values) / 1000)


@given(groups_of(4, 30), groups_of(4, 30))
def test_the_shift_is_the_middle_of_all_differences(a, b):
    found = difference(a, b)
    assert found.method == "rank sums"
    assert found.shift_s == pytest.approx(np.median(np.subtract.outer(a, b)))
    assert (found.first_s, found.second_s) == (np.median(a), np.median(b))


@given(groups_of(4, 12), groups_of(4, 12))
def test_the_bounds_of_a_shift_are_what_the_rank_sum_test_does_not_reject(a, b):
    assume(np.unique(np.subtract.outer(a, b)).size == a.size * b.size)
    found = difference(a, b)
    inside, outside = found.low_s + 1e-6, found.low_s - 1e-6
    assert stats.mannwhitneyu(a - inside, b, method="exact").pvalue > 0.05
    assert stats.mannwhitneyu(a - outside, b, method="exact").pvalue <= 0.05


@given(groups_of(4, 30), groups_of(4, 30))
def test_the_chance_is_that_of_scipy(a, b):
    tied = np.unique(np.concatenate([a, b])).size < a.size + b.size
    exact = not tied and a.size * b.size <= 400
    expected = stats.mannwhitneyu(a, b, method="exact" if exact else "asymptotic").pvalue
    if np.ptp(np.concatenate([a, b])) > 0:
        assert difference(a, b).p == pytest.approx(expected, abs=1e-9)


@given(groups_of(2, 3), groups_of(2, 20))
def test_small_groups_differ_in_their_means_as_welch_has_it(a, b):
    assume(min(a.std(), b.std()) > 0.01)
    found, expected = difference(a, b), stats.ttest_ind(a, b, equal_var=False)
    bounds = expected.confidence_interval(0.95)
    assert found.method == "means"
    assert (found.low_s, found.high_s) == pytest.approx((bounds.low, bounds.high), rel=1e-6)
    assert found.p == pytest.approx(expected.pvalue, rel=1e-6)


def test_four_against_four_are_bounded_by_ranks_at_95_percent_and_by_means_beyond():
    a, b = np.array([61.0, 63, 62, 64]), np.array([58.0, 59, 57, 60])
    assert difference(a, b).method == "rank sums"
    assert difference(a, b, level=0.99).method == "means"


def test_the_mouse_data_differ_without_it_being_sure():
    assert TREATED.mean() - CONTROL.mean() == pytest.approx(30.635, abs=0.01)
    found = difference(TREATED, CONTROL)
    assert (found.first_s, found.second_s) == (94, 46)
    assert found.low_s < 0 < found.high_s


@given(groups_of(4, 20), groups_of(4, 20), st.integers(-60_000, 60_000))
def test_a_shift_added_to_one_group_is_found_whole(a, b, shift_ms):
    found, shifted = difference(a, b), difference(a + shift_ms / 1000, b)
    assert shifted.shift_s == pytest.approx(found.shift_s + shift_ms / 1000)
    assert shifted.low_s == pytest.approx(found.low_s + shift_ms / 1000)


@given(groups_of(1, 20), groups_of(1, 20))
def test_swapping_the_groups_turns_the_difference_round(a, b):
    found, turned = difference(a, b), difference(b, a)
    assert turned.shift_s == pytest.approx(-found.shift_s)
    if found.low_s is not None:
        assert (turned.low_s, turned.high_s) == pytest.approx((-found.high_s, -found.low_s))


@table("law", LAWS)
@table("n, m", [(4, 4), (6, 12), (25, 25)])
def test_bounds_hold_the_true_shift_as_often_as_they_say(law, n, m):
    random = np.random.default_rng(n + m)
    held = 0
    for row in LAWS[law](random, (1500, n + m)):
        found = difference(row[:n] + 3, row[n:])
        held += found.low_s <= 3 <= found.high_s
    assert held / 1500 >= 0.95 - 3 * 0.0057


def test_a_mishap_of_ten_minutes_moves_the_shift_by_one_rank():
    a = np.array([61.0, 63, 60, 62, 64, 61])
    b = np.array([58.0, 59, 57, 60, 58, 57])
    spoilt = a.copy()
    spoilt[2] += 600
    assert difference(spoilt, b).shift_s == pytest.approx(difference(a, b).shift_s, abs=1)


def test_two_single_runs_differ_without_bounds():
    found = difference(np.array([61.0]), np.array([58.5]))
    assert (found.shift_s, found.low_s, found.high_s, found.p) == (2.5, None, None, None)
    assert found.method == "none"


def test_equal_runs_on_both_sides_differ_by_nothing_that_could_be_bounded():
    assert difference(np.full(3, 60.0), np.full(3, 60.0)).low_s is None
    assert difference(np.full(9, 60.0), np.full(9, 60.0)).p == 1


def test_an_empty_group_differs_from_nothing_and_gaps_are_left_out():
    assert difference(np.array([]), np.array([60.0])) is None
    assert difference(np.array([np.nan, 61.0]), np.array([60.0])).n_first == 1


def test_the_latest_runs_of_a_large_group_speak_for_it():
    found = difference(np.concatenate([np.full(50, 900.0), np.full(100, 62.0)]), np.full(5, 60.0))
    assert (found.n_first, found.shift_s) == (LATEST_RUNS, 2)


def test_two_ordinary_runs_lie_as_far_apart_as_iso_5725_says():
    random = np.random.default_rng(6)
    limit = usual_difference_s(random.normal(60, 2, 20_000))
    assert limit == pytest.approx(2.77 * 2, rel=0.03)
    pairs = random.normal(60, 2, (20_000, 2))
    assert np.mean(np.abs(np.diff(pairs)) <= limit) == pytest.approx(0.95, abs=0.01)
    assert usual_difference_s(np.array([60.0, 61.0])) is None
