"""Outside checks: NumPy's covariance, statsmodels' HC3 errors, SciPy's rank correlation, and the
shrinkage of Schaefer and Strimmer (2005) written out as its formula stands."""

import numpy as np
import pytest
import statsmodels.api
from scipy import stats

from server.domain.base.student import t_quantile
from server.domain.drift.wandering import CLIP_SIGMA, correlations, together, variance_shares
from tests.domain.drift.histories import LAWS

IDS = tuple(f"s{number}" for number in range(5))
SPREADS = np.array([1.0, 1, 1, 2, 4])


def draw(seed, n, law="normal"):
    return 50 + LAWS[law](np.random.default_rng(seed), (n, 5)) * SPREADS


def test_shares_are_covariances_with_the_total_and_sum_to_one():
    splits = draw(1, 40)
    # Without a split beyond the clip the plain covariance is what is shared.
    middle = np.median(splits, axis=0)
    reach = CLIP_SIGMA * stats.median_abs_deviation(splits, scale="normal")
    splits = np.clip(splits, middle - 0.9 * reach, middle + 0.9 * reach)
    total = splits.sum(axis=1)
    shares = variance_shares(splits, IDS)
    expected = [np.cov(column, total)[0, 1] / total.var(ddof=1) for column in splits.T]
    assert [share.share for share in shares] == pytest.approx(expected)
    assert sum(share.share for share in shares) == pytest.approx(1)


def test_bounds_of_a_share_come_from_the_errors_of_statsmodels():
    splits = np.clip(draw(2, 30), 50 - 2.5 * SPREADS, 50 + 2.5 * SPREADS)
    total = splits.sum(axis=1)
    shares = variance_shares(splits, IDS)
    for share, column in zip(shares, splits.T, strict=True):
        model = statsmodels.api.OLS(column, statsmodels.api.add_constant(total))
        error = model.fit(cov_type="HC3").bse[1]
        reach = t_quantile(1 - 0.005 / 5, 28) * error
        assert (share.low, share.high) == pytest.approx((share.share - reach, share.share + reach))


@pytest.mark.parametrize(("law", "least"), [("normal", 0.97), ("Student", 0.95)])
def test_all_bounds_together_hold_the_true_shares(law, least):
    true = SPREADS**2 / (SPREADS**2).sum()
    held = 0
    for seed in range(600):
        shares = variance_shares(draw(seed, 25, law), IDS)
        held += all(s.low <= t <= s.high for s, t in zip(shares, true, strict=True))
    assert held / 600 >= least - 3 * (least * (1 - least) / 600) ** 0.5


def test_a_mishap_of_ten_minutes_is_not_the_whole_variance():
    splits = draw(3, 60)
    splits[20, 0] += 600
    assert variance_shares(splits, IDS)[0].share < 0.4


def test_a_total_that_never_varies_has_no_shares():
    assert variance_shares(np.full((9, 5), 50.0), IDS) == ()


def test_correlations_are_ranks_of_steps_shrunk_by_the_formula():
    splits = draw(4, 30)
    steps = np.diff(splits, axis=0)
    found, shrinkage = correlations(steps)
    raw = stats.spearmanr(steps).statistic
    ranks = stats.zscore(stats.rankdata(steps, axis=0), ddof=1)
    n = len(ranks)
    above = below = 0.0
    for i in range(5):
        for j in range(5):
            if i != j:
                products = ranks[:, i] * ranks[:, j]
                above += n / (n - 1) ** 3 * ((products - products.mean()) ** 2).sum()
                below += raw[i, j] ** 2
    assert found == pytest.approx(raw)
    assert shrinkage == pytest.approx(min(1, above / below))
    assert together(splits, IDS).shrinkage == shrinkage


def test_segments_that_slow_down_together_are_found_and_grouped():
    splits = draw(5, 60)
    shared = np.random.default_rng(50).normal(size=60) * 3
    splits[:, 0] += shared
    splits[:, 2] += shared
    found = together(splits, IDS)
    assert found.groups == (("s0", "s2"),)
    assert (found.links[0].first_id, found.links[0].second_id) == ("s0", "s2")
    raw = correlations(np.diff(splits, axis=0))[0][0, 2]
    assert 0.3 < found.links[0].correlation < raw


def test_segments_that_make_up_for_each_other_are_linked_but_form_no_group():
    splits = draw(6, 60)
    shared = np.random.default_rng(60).normal(size=60) * 3
    splits[:, 0] += shared
    splits[:, 2] -= shared
    found = together(splits, IDS)
    assert found.links[0].correlation < 0
    assert found.groups == ()


def test_two_segments_that_both_get_faster_are_not_taken_for_a_pair():
    splits = draw(7, 60)
    splits[:, :2] += 20 * np.exp(-0.05 * np.arange(60))[:, None]
    assert together(splits, IDS).links == ()


@pytest.mark.parametrize("law", LAWS)
def test_independent_segments_are_linked_no_more_often_than_allowed(law):
    false = sum(bool(together(draw(seed, 25, law), IDS).links) for seed in range(500))
    assert false / 500 <= 0.05 + 3 * (0.0475 / 500) ** 0.5


def test_only_runs_with_all_their_marks_enter():
    splits = draw(8, 20)
    splits[3, 1] = np.nan
    assert together(splits, IDS).n == 19


def test_equal_splits_and_few_runs_share_nothing():
    assert together(np.full((20, 5), 50.0), IDS).links == ()
    assert together(draw(9, 4), IDS) is None
    assert together(draw(9, 9)[:, :1], IDS[:1]) is None
