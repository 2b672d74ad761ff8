"""Outside checks: scipy.stats for the normal-inverse-gamma update and its Student t."""

from math import exp, log, sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from server.domain.risk.belief import Belief, NormalInverseGamma, believe
from server.domain.risk.estimate import Estimate, around

PRIOR = NormalInverseGamma(mean=3.0, weight=2.0, shape=3.0, rate=0.5)
LOGS = [3.4, 3.1, 3.6, 3.3, 3.2]


def scipys(belief):
    return stats.normal_inverse_gamma(belief.mean, belief.weight, belief.shape, belief.rate)


def test_the_update_is_prior_times_likelihood():
    posterior = PRIOR.updated(LOGS)
    ratios = []
    for mean, variance in [(3.0, 0.1), (3.3, 0.05), (3.5, 0.3), (2.8, 0.6)]:
        likelihood = stats.norm(mean, sqrt(variance)).logpdf(LOGS).sum()
        prior = scipys(PRIOR).logpdf(mean, variance)
        ratios.append(scipys(posterior).logpdf(mean, variance) - prior - likelihood)
    assert np.ptp(ratios) == pytest.approx(0, abs=1e-9)


def test_the_next_value_is_a_student_t():
    posterior = PRIOR.updated(LOGS)
    rng = np.random.default_rng(5)
    means, variances = scipys(posterior).rvs(200_000, random_state=rng)
    following = rng.normal(means, np.sqrt(variances))
    expected = stats.t(2 * posterior.shape, posterior.mean, posterior.scale)
    # 200,000 draws: the distance of the empirical distribution stays below 1.63 / sqrt(n) at 1 %.
    assert stats.kstest(following, expected.cdf).statistic < 1.63 / sqrt(200_000)


@given(st.lists(st.floats(0, 6), max_size=8), st.integers(0, 8))
def test_updating_at_once_and_one_after_another_is_the_same(values, cut):
    at_once = PRIOR.updated(values)
    stepwise = PRIOR.updated(values[:cut]).updated(values[cut:])
    assert (at_once.mean, at_once.rate) == pytest.approx((stepwise.mean, stepwise.rate), abs=1e-9)


@given(st.floats(1, 300), st.floats(0.5, 1), st.floats(1, 3))
def test_without_runs_low_and_high_are_passed_one_time_in_ten(likely_s, low, high):
    three = (low * likely_s, likely_s, high * likely_s)
    belief = believe(Estimate(*three))
    below = belief.median_s * exp(-belief.low_scale * stats.t(belief.freedom).ppf(0.9))
    above = belief.median_s * exp(belief.high_scale * stats.t(belief.freedom).ppf(0.9))
    assert (below, belief.median_s, above) == pytest.approx(three, rel=1e-4)
    assert belief.plan_weight == 1


def test_many_runs_leave_the_presenters_own_distribution():
    rng = np.random.default_rng(8)
    splits = np.exp(rng.normal(log(60), 0.1, 400))
    belief = believe(Estimate(35, 40, 44), splits)
    assert belief.median_s == pytest.approx(60, rel=0.02)
    assert (belief.low_scale, belief.high_scale) == pytest.approx((0.1, 0.1), rel=0.15)
    assert belief.plan_weight == pytest.approx(0.005, abs=0.001)


def test_two_runs_weigh_as_much_as_the_plan():
    belief = believe(around(40), [60, 60])
    assert belief.plan_weight == 0.5
    assert 46 < belief.median_s < 52


def test_a_run_far_from_the_plan_widens_the_belief():
    near, far = believe(around(40), [41, 40, 41]), believe(around(40), [70, 68, 71])
    assert far.high_scale > 2 * near.high_scale


def test_a_segment_of_no_time_stays_without_time_until_it_is_measured():
    nothing = Estimate(0, 0, 0)
    assert believe(nothing) == Belief(0, 0, 0, 6)
    assert believe(nothing, [3.0, 3.2, 2.9]).median_s == pytest.approx(3.0, abs=0.2)


def test_a_low_of_zero_is_taken_for_a_very_short_time():
    belief = believe(Estimate(0, 40, 60))
    assert belief.estimate.low_s == pytest.approx(2, rel=0.01)


def test_a_belief_is_shown_as_three_numbers_again():
    shown = believe(Estimate(40, 44, 55)).estimate
    assert (shown.low_s, shown.likely_s, shown.high_s) == pytest.approx((40, 44, 55), rel=1e-3)


def test_a_change_moves_the_median_by_its_seconds_and_never_below_zero():
    belief = believe(around(40), [60, 60, 60])
    assert belief.changed_by(-5).median_s == pytest.approx(belief.median_s - 5)
    assert belief.changed_by(-500).median_s == 0
