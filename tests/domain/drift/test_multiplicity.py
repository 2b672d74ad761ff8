"""Outside checks: SciPy's false discovery control, and simulation of values shown by selection."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from server.domain.drift.multiplicity import adjusted, chosen_bounds, selected_level


@given(st.lists(st.floats(0, 1), min_size=1, max_size=60))
def test_adjusted_chances_are_those_of_scipy(chances):
    assert adjusted(chances) == pytest.approx(stats.false_discovery_control(chances))


@given(st.integers(1, 50), st.integers(0, 50))
def test_choosing_all_of_them_needs_no_wider_intervals(selected, more):
    level = selected_level(selected, selected + more)
    assert 0.95 <= level < 1
    assert selected_level(selected, selected) == pytest.approx(0.95)


def test_far_beyond_the_cutoff_the_ordinary_bounds_return():
    assert chosen_bounds(9.0, 2.576) == pytest.approx((9 - 1.96, 9 + 1.96), abs=1e-3)


def test_close_to_the_cutoff_the_bounds_reach_across_zero():
    low, high = chosen_bounds(2.6, 2.576)
    assert low < 0 < high


@pytest.mark.parametrize(("z", "cutoff"), [(2.7, 2.576), (8.41, 8.4), (8.35, 7.85), (30.0, 29.0)])
def test_each_bound_is_the_effect_under_which_so_much_of_what_is_shown_lies_beyond(z, cutoff):
    # By SciPy's survival function, which keeps its digits where nearly nothing lies beyond.
    def beyond(effect):
        shown = stats.norm.sf(cutoff - effect) + stats.norm.cdf(-cutoff - effect)
        return stats.norm.sf(z - effect) / shown

    assert list(map(beyond, chosen_bounds(z, cutoff))) == pytest.approx([0.025, 0.975], abs=1e-8)


@given(st.floats(2.6, 12), st.floats(1.5, 2.58))
def test_a_value_of_the_other_sign_has_the_bounds_turned_round(z, cutoff):
    low, high = chosen_bounds(z, cutoff)
    assert chosen_bounds(-z, cutoff) == (-high, -low)


@given(st.floats(2.6, 12), st.floats(1.5, 4), st.sampled_from([0.95, 0.98]))
def test_bounds_that_leave_no_doubt_of_the_sign_hold_the_value_itself(beyond, cutoff, level):
    z = cutoff + beyond - 2.6
    low, high = chosen_bounds(z, cutoff, level)
    assert low < high
    assert low <= 0 or low < z < high


@pytest.mark.parametrize("effect", [0.0, 1.0, 2.0, 3.0, 4.5])
def test_bounds_of_what_is_shown_hold_the_truth_as_often_as_they_say(effect):
    random = np.random.default_rng(int(effect * 10))
    z = np.round(random.normal(effect, 1, 400_000), 2)
    shown = z[np.abs(z) > 2.575][:3000]
    held = [low <= effect <= high for low, high in (chosen_bounds(each, 2.575) for each in shown)]
    assert np.mean(held) == pytest.approx(0.95, abs=3.5 * (0.0475 / len(held)) ** 0.5)
