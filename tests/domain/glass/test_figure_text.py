from math import inf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.domain.base.errors import InvalidInput
from server.domain.glass.figure_text import (
    format_figure,
    in_its_digits,
    parse_figure,
    says_nothing,
    told_digits,
    told_number,
)
from server.domain.glass.figures import Estimate, Figure
from tests.table import table

numbers = st.floats(-1000, 1000).map(lambda value: round(value, 4))


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("40", Figure(40.0)),
        ("7,5", Figure(7.5)),
        ("17 %", Figure(17.0)),
        ("38–42", Figure(40.0, 38.0, 42.0)),
        ("38 to 42", Figure(40.0, 38.0, 42.0)),
        ("4.6 (3.9–5.3)", Figure(4.6, 3.9, 5.3)),
        ("−5", Figure(-5.0)),
    ],
)
def test_a_number_or_a_range_is_understood(text, meant):
    assert parse_figure(text) == meant


@pytest.mark.parametrize("text", ["", "strong", "40 ml", "1-2-3", "4 (5-6)", "42–38"])
def test_anything_else_is_refused_beside_its_field(text):
    with pytest.raises(InvalidInput) as refused:
        parse_figure(text, "abv")
    assert [fault.field for fault in refused.value.faults] == ["abv"]


@given(st.lists(numbers, min_size=3, max_size=3).map(sorted))
def test_what_is_shown_can_be_typed_again(ends):
    low, value, high = ends
    figure = Figure(value, low, high) if low < high else Figure(value)
    assert parse_figure(format_figure(figure)) == figure


@table(
    "estimate, digits, told",
    [
        (Estimate(100.0, 60.0, 140.0), 0, 100.0),
        (Estimate(100.0, 60.6, 140.4, lacks=("tea",)), 0, 60.0),
        (Estimate(12.0, 11.0, 12.34, lacks=("ice",), is_most=True), 1, 12.4),
        (Estimate(14.2, 14.2, 14.2, lacks=("mix",)), 1, 14.2),
        (Estimate(30.0, 20.0, 40.0, lacks=("mix",), is_open=True), 0, 30.0),
    ],
)
def test_a_bound_is_told_so_that_it_holds(estimate, digits, told):
    # By the meaning of the words: no less than "at least", no more than "at most".
    assert told_number(estimate, digits) == told


def test_a_most_without_bound_is_told_as_such_and_a_bound_keeps_its_decimals():
    endless = Estimate(4.0, 3.0, inf, lacks=("juice",), is_most=True)
    assert told_number(endless, 1) == inf
    # Rounded down to a whole number, at least 0.5 drinks would be at least none.
    assert told_digits(Estimate(0.9, 0.5, 1.6, lacks=("mix",)), 1) == 1
    assert told_digits(Estimate(0.9, 0.5, 1.6), 1) == 0
    assert told_digits(Estimate(347.0, 320.0, 380.0), 0) == -1
    assert told_digits(Estimate(347.0, 320.0, 380.0, lacks=("mix",)), 0) == 0


@table(
    "estimate, digits, is_nothing",
    [
        (Estimate(0.0, 0.0, 0.0, lacks=("mix",)), 0, True),
        (Estimate(0.0, 0.0, 0.0, lacks=("mix",), is_open=True), 0, True),
        (Estimate(0.3, 0.2, 0.4, lacks=("mix",), is_open=True), 0, True),
        (Estimate(0.3, 0.2, 0.4, lacks=("mix",), is_open=True), 1, False),
        (Estimate(0.1, -2.0, 2.0, lacks=("mix",), is_open=True), 0, False),
        (Estimate(4.0, 3.0, inf, lacks=("juice",), is_most=True), 0, True),
        (Estimate(0.0, 0.0, 0.0), 0, False),
    ],
)
def test_about_none_or_at_least_none_of_what_is_not_known_says_nothing(
    estimate, digits, is_nothing
):
    # A temperature about 0 does say something, and so does a whole that is none.
    assert says_nothing(estimate, digits) is is_nothing


@table("lacks", [{"is_open": True}, {}])
def test_a_temperature_of_none_is_a_temperature(lacks):
    # By the meaning of the scale: 0 °C is where water freezes, not the lack of anything.
    cold = Estimate(0.0, 0.0, 0.0, lacks=("the vessel",), **lacks)
    assert says_nothing(cold, 0)
    assert not says_nothing(cold, 0, is_amount=False)


def test_a_bound_of_hundreds_has_no_decimals():
    most = Estimate(940.0, 318.4, 971.9, lacks=("coffee",), is_most=True)
    assert in_its_digits(most, 1) == "972"
    assert in_its_digits(Estimate(99.0, 98.21, 99.4, lacks=("coffee",)), 1) == "98.2"
