"""Outside check: scipy.stats."""

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from scipy import stats

from server.domain.base.student import t_cdf, t_quantile

degrees = st.floats(1, 200)


@given(st.floats(-40, 40), degrees)
@example(2.767118932045891e-09, 1.0)
def test_students_law_is_that_of_scipy(t, df):
    # Beside the middle SciPy answers one half outright, where the law has moved on a little.
    is_beside = abs(t) < 1e-6
    expected = 0.5 + t * stats.t.pdf(0, df) if is_beside else stats.t.cdf(t, df)
    assert t_cdf(t, df) == pytest.approx(expected, rel=1e-9, abs=1e-14)


@given(st.floats(0.0005, 0.9995), degrees)
def test_students_quantile_is_that_of_scipy(probability, df):
    assert t_quantile(probability, df) == pytest.approx(
        stats.t.ppf(probability, df), rel=1e-9, abs=1e-9
    )


def test_the_middle_of_students_law_is_zero():
    assert (t_quantile(0.5, 3), t_cdf(0.0, 3)) == (0.0, 0.5)
