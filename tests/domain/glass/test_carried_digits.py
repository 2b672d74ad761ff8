"""No decimals that a range does not carry."""

from hypothesis import given
from hypothesis import strategies as st

from server.domain.glass.figure_text import carried_digits
from tests.table import table


@table(
    "low, high, most, digits",
    [(4.3, 4.7, 1, 1), (4.3, 5.3, 1, 1), (3.9, 5.1, 1, 0), (13.2, 13.7, 1, 1), (13.0, 14.2, 1, 0),
     (1.20, 1.24, 2, 2), (1.2, 1.5, 2, 1), (40, 40, 1, 1), (0, float("inf"), 1, 0), (2, 9, 0, 0)],
)  # fmt: skip
def test_a_decimal_stands_where_the_range_carries_it(low, high, most, digits):
    assert carried_digits(low, high, most) == digits


@given(st.floats(0, 1e4), st.floats(0, 1e3), st.floats(0, 1e3), st.integers(0, 3))
def test_a_wider_range_never_carries_more(low, width, wider, most):
    narrow = carried_digits(low, low + width, most)
    assert carried_digits(low, low + width + wider, most) <= narrow <= most


@given(st.floats(0, 1e4), st.floats(0.001, 1e3), st.integers(1, 3))
def test_the_ends_of_a_range_stay_apart_when_decimals_are_dropped(low, width, most):
    digits = carried_digits(low, low + width, most)
    if digits < most:
        assert round(low, digits) < round(low + width, digits)
