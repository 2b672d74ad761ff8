"""No digits that a range does not carry."""

from hypothesis import given
from hypothesis import strategies as st

from server.domain.glass.figure_text import FEWEST_DIGITS, carried_digits, in_digits
from tests.table import table


@table(
    "low, high, most, digits",
    [(4.3, 4.7, 1, 1), (4.3, 5.3, 1, 1), (3.9, 5.1, 1, 0), (13.2, 13.7, 1, 1), (13.0, 14.2, 1, 0),
     (1.20, 1.24, 2, 2), (1.2, 1.5, 2, 1), (40, 40, 1, 1), (0, float("inf"), 1, 0), (2, 9, 0, 0)],
)  # fmt: skip
def test_a_decimal_stands_where_the_range_carries_it(low, high, most, digits):
    assert carried_digits(low, high, most) == digits


@table(
    "low, high, digits",
    [(320, 380, -1), (340, 350, 0), (340, 351, -1), (55, 67, 0), (88, 161, -1), (2900, 3900, -2),
     (900, 1090, -1), (347, 347, 0), (300, float("inf"), 0)],
)  # fmt: skip
def test_a_whole_number_stands_in_tens_or_hundreds_where_its_range_carries_no_more(
    low, high, digits
):
    assert carried_digits(low, high, 1 if digits else 0, FEWEST_DIGITS) == digits


def test_a_number_in_tens_is_written_as_such():
    assert [in_digits(347.2, each) for each in (1, 0, -1, -2)] == ["347.2", "347", "350", "300"]
    assert in_digits(-0.2, 0) == "0"


@given(st.floats(0, 1e4), st.floats(0, 1e3), st.floats(0, 1e3), st.integers(0, 3))
def test_a_wider_range_never_carries_more(low, width, wider, most):
    narrow = carried_digits(low, low + width, most, FEWEST_DIGITS)
    assert carried_digits(low, low + width + wider, most, FEWEST_DIGITS) <= narrow <= most


@given(st.floats(0, 1e4), st.floats(0.001, 1e3), st.integers(1, 3))
def test_the_ends_of_a_range_stay_apart_when_digits_are_dropped(low, width, most):
    digits = carried_digits(low, low + width, most, FEWEST_DIGITS)
    if digits < most:
        assert round(low, digits) < round(low + width, digits)
