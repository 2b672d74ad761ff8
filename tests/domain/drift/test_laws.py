"""Outside checks: SciPy and statsmodels, and the cases of Newcombe 1998 (Stat. Med. 17:857, from
memory; figures recomputed with statsmodels)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from server.domain.drift.laws import (
    normal_quantile,
    rank_sum_rank,
    rank_sum_tails,
    sign_rank,
    sign_tail,
    two_sided_p,
)


@given(st.floats(-8, 8))
def test_the_normal_law_is_that_of_scipy(z):
    assert two_sided_p(z) == pytest.approx(2 * stats.norm.sf(abs(z)), rel=1e-12)
    probability = stats.norm.cdf(z)
    if 1e-9 < probability < 1 - 1e-9:
        assert normal_quantile(probability) == pytest.approx(z, abs=1e-6)


@given(st.integers(1, 60), st.integers(-1, 60))
def test_signs_follow_the_binomial_law(n, most):
    assert sign_tail(n, most) == pytest.approx(stats.binom.cdf(most, n, 0.5))


@given(st.integers(2, 60), st.sampled_from([0.8, 0.95, 0.99]))
def test_an_interval_of_the_median_holds_it_and_a_narrower_one_would_not(n, level):
    rank = sign_rank(n, level)
    held = 1 - 2 * stats.binom.cdf((rank or 1) - 1, n, 0.5)
    if rank is None:
        assert held < level
    else:
        narrower = 1 - 2 * stats.binom.cdf(rank, n, 0.5)
        assert held >= level > narrower or rank == n // 2


@given(st.integers(1, 9), st.integers(1, 9))
def test_rank_sums_are_counted_out_as_in_scipy(n, m):
    tails = rank_sum_tails(n, m)
    for wins in range(n * m // 2 + 1):
        # A sample whose U is `wins`: the exact p-value of the one-sided test is the tail.
        first = _sample_with_wins(n, m, wins)
        exact = stats.mannwhitneyu(*first, alternative="less", method="exact")
        assert exact.statistic == wins
        assert tails[wins] == pytest.approx(exact.pvalue)


def _sample_with_wins(n, m, wins):
    second = [float(value) for value in range(1, m + 1)]
    full, rest = divmod(wins, m)
    first = [m + 1 + i / 100 for i in range(full)]
    if full < n:
        first.append(rest + 0.5)
    first += [-1 - i / 100 for i in range(n - len(first))]
    return first, second


@pytest.mark.parametrize(
    ("n", "m", "rank"),
    [(3, 3, None), (4, 4, 1), (5, 5, 3), (8, 10, 18), (10, 10, 24)],
)
def test_the_reach_of_a_shift_is_that_of_published_tables(n, m, rank):
    """Largest U significant at 5 % two-sided is one less: 0, 2, 17 and 23 in the tables of Mann
    and Whitney's U found in most textbooks (from memory, agreeing with SciPy's exact law)."""
    assert rank_sum_rank(n, m, 0.95) == rank


def test_large_groups_use_the_normal_law_and_come_close_to_the_exact_one():
    by_normal = rank_sum_rank(25, 30, 0.95)
    exact = next(u for u, tail in enumerate(rank_sum_tails(25, 30)) if tail > 0.025)
    assert abs(by_normal - exact) <= 1
