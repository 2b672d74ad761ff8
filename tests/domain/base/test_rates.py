"""Outside checks of the interval: R. G. Newcombe, Two-sided confidence intervals for the single
proportion, Statistics in Medicine 17 (1998) 857-872, method 3 (its cases from memory); a published
worked case of 23 in 60; statsmodels for the interval and SciPy
for binomial tails, independent libraries."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats
from statsmodels.stats.proportion import proportion_confint

from server.domain.base.errors import InvalidInput
from server.domain.base.rates import at_least, exactly, wilson
from tests.table import table


@table(
    "said, runs, low, high",
    [
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0.0, 0.1611),
        (1, 29, 0.0061, 0.1718),
        (23, 60, 0.2709, 0.5098),
        (3, 5, 0.2307, 0.8824),
        (5, 5, 0.5655, 1.0),
        (8, 10, 0.4902, 0.9433),
        (9, 10, 0.5958, 0.9821),
        (10, 10, 0.7225, 1.0),
        (12, 12, 0.7575, 1.0),
    ],
)
def test_the_interval_is_the_published_one(said, runs, low, high):
    assert wilson(said, runs) == pytest.approx((low, high), abs=1e-4)


@given(st.integers(1, 400).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))))
def test_the_interval_is_that_of_statsmodels(counts):
    said, runs = counts
    expected = proportion_confint(said, runs, alpha=0.05, method="wilson")
    assert wilson(said, runs) == pytest.approx(expected, abs=1e-12)


@given(st.integers(1, 400).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))))
def test_the_interval_holds_the_share_and_stays_a_share(counts):
    said, runs = counts
    low, high = wilson(said, runs)
    assert 0 <= low <= said / runs <= high <= 1


def test_nothing_is_known_of_no_runs():
    assert wilson(0, 0) == (0.0, 1.0)


@pytest.mark.parametrize(("said", "runs"), [(-1, 3), (4, 3), (0, -1)])
def test_counts_that_cannot_be_are_refused(said, runs):
    with pytest.raises(InvalidInput):
        wilson(said, runs)


@given(st.integers(0, 400), st.data(), st.sampled_from([1 / 3, 1 / 2, 0.07]))
def test_binomial_tails_are_those_of_scipy(tries, data, chance):
    hits = data.draw(st.integers(0, tries))
    assert at_least(hits, tries, chance) == pytest.approx(
        stats.binom.sf(hits - 1, tries, chance), rel=1e-9, abs=1e-15
    )
    assert exactly(hits, tries, chance) == pytest.approx(
        stats.binom.pmf(hits, tries, chance), rel=1e-9, abs=1e-300
    )
