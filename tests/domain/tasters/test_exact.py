"""Exact tests of counts, against SciPy and by counting all that can happen."""

from itertools import product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats
from statsmodels.stats import contingency_tables

from server.domain.tasters.exact import (
    Stratum,
    as_many_by_chance,
    cochran,
    fisher,
    holm,
    mcnemar,
    two_sided_half,
)


@given(st.integers(1, 200), st.data())
def test_a_preference_is_tested_as_scipy_tests_a_coin(tries, data):
    hits = data.draw(st.integers(0, tries))
    wanted = stats.binomtest(hits, tries, 0.5).pvalue
    assert two_sided_half(hits, tries) == pytest.approx(wanted, rel=1e-9)


@given(st.integers(0, 60), st.integers(0, 60))
def test_what_the_same_people_change_is_tested_as_statsmodels_tests_it(gained, lost):
    wanted = contingency_tables.mcnemar([[9, gained], [lost, 4]], exact=True).pvalue
    assert mcnemar(gained, lost) == pytest.approx(wanted, rel=1e-9)


def test_twelve_games_and_three_who_foretold_them_come_out_as_published():
    # Conover, Practical Nonparametric Statistics: Q = 2.8, p = 0.2466 (example from memory).
    rows = ("111", "111", "010", "110", "000", "111", "111", "110", "001", "010", "111", "111")
    assert cochran([[mark == "1" for mark in row] for row in rows]) == pytest.approx(0.246597, 1e-5)


@given(st.integers(2, 9).flatmap(lambda k: st.lists(st.lists(st.booleans(), min_size=k, max_size=k),
                                                    min_size=1, max_size=12)))  # fmt: skip
def test_columns_are_set_apart_as_statsmodels_says(said):
    if all(len(set(row)) == 1 for row in said):
        assert cochran(said) == 1.0
    else:
        wanted = contingency_tables.cochrans_q(np.array(said, float)).pvalue
        assert cochran(said) == pytest.approx(wanted, rel=1e-9, abs=1e-14)


tables = st.tuples(*[st.integers(0, 25)] * 4).filter(lambda t: t[0] + t[2] > 0 and t[1] + t[3] > 0)


@given(tables)
def test_fishers_test_is_that_of_scipy(table):
    a, b, c, d = table
    wanted = stats.fisher_exact([[a, b], [c, d]]).pvalue
    assert fisher(a, a + b, c, c + d) == pytest.approx(wanted, rel=1e-7)


@given(tables)
def test_one_stratum_is_fishers_test_one_sided(table):
    a, b, c, d = table
    wanted = stats.fisher_exact([[a, b], [c, d]], alternative="greater").pvalue
    found = as_many_by_chance(a, [Stratum(a + b, c + d, a + c)])
    assert found == pytest.approx(wanted, rel=1e-7)


def test_several_tasters_are_counted_out_one_by_one():
    # Three cards of one word and four decoys, on which 1, 2 and 3 words were ticked.
    strata = [Stratum(1, 4, ticks) for ticks in (1, 2, 3)]
    shares = [0.2, 0.4, 0.6]
    wanted = 0.0
    for each in product((0, 1), repeat=3):
        if sum(each) >= 2:
            chance = 1.0
            for hit, share in zip(each, shares, strict=True):
                chance *= share if hit else 1 - share
            wanted += chance
    assert as_many_by_chance(2, strata) == pytest.approx(wanted)


def test_one_who_ticks_all_or_nothing_weighs_nothing():
    careful = [Stratum(1, 6, 1)] * 4
    assert as_many_by_chance(3 + 1, [*careful, Stratum(1, 6, 7)]) == pytest.approx(
        as_many_by_chance(3, careful)
    )
    assert as_many_by_chance(3, [*careful, Stratum(1, 6, 0)]) == pytest.approx(
        as_many_by_chance(3, careful)
    )


@given(st.lists(st.floats(0, 1), min_size=1, max_size=12))
def test_holms_values_are_those_of_the_definition(p_values):
    found = holm(p_values)
    ranked = sorted(p_values)
    for p, corrected in zip(p_values, found, strict=True):
        steps = [min(1.0, (len(ranked) - at) * q) for at, q in enumerate(ranked) if q <= p]
        first = [min(1.0, (len(ranked) - at) * q) for at, q in enumerate(ranked) if q < p]
        assert max(first, default=0.0) <= corrected <= max(steps)
        assert corrected >= p * 0.999999
