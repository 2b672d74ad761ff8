"""Numbers are read as they were meant or refused, and written so that they read back the same."""

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from server.domain.base.amounts import UNITS, Amount, parse_amount
from server.domain.base.durations import LONGEST_S, parse_duration, write_duration
from server.domain.base.errors import InvalidInput
from server.domain.base.numbers import figure_words, read_number, write_number
from server.domain.glass.figure_text import format_figure, parse_figure
from server.domain.glass.figures import Figure
from tests.table import table


@table(
    "text, value",
    [
        ("40", 40), ("7,5", 7.5), ("0,125", 0.125), (",5", 0.5), ("1.125", 1.125), ("-2", -2),
        ("−2,5", -2.5), ("1,000.5", 1000.5), ("1.000,5", 1000.5), ("1,000,000", 1_000_000),
        ("1.000.000", 1_000_000), ("1234,500", 1234.5), ("1,0000", 1.0), ("62,25", 62.25),
    ],
)  # fmt: skip
def test_a_number_is_read_with_point_comma_or_thousands(text, value):
    assert read_number(text) == value


@pytest.mark.parametrize("text", ["1,000", "12,500", "100,000", "2,125"])
def test_a_comma_before_three_digits_is_refused_with_both_ways_to_write_it(text):
    with pytest.raises(InvalidInput, match="two ways") as refused:
        read_number(text, "dose")
    (fault,) = refused.value.faults
    assert fault.field == "dose"
    assert text.replace(",", "") in fault.message
    assert text.replace(",", ".") in fault.message


@table("text", ["", "a", "1e5", "nan", "inf", "1_000", "1,00,0", "1.2.3", "1,2,3"])
def test_what_is_no_number_is_refused(text):
    with pytest.raises(InvalidInput):
        read_number(text)


@pytest.mark.parametrize(
    "read",
    [
        lambda: parse_amount("1,000 ml"),
        lambda: parse_duration("1,000"),
        lambda: parse_duration("1,000 s"),
        lambda: parse_duration("1,500 min"),
        lambda: parse_figure("1,000"),
        lambda: parse_figure("1,000–1,200"),
        lambda: parse_figure("40 (1,000–1,200)"),
    ],
)
def test_a_thousand_is_nowhere_read_as_one(read):
    with pytest.raises(InvalidInput, match="two ways"):
        read()


def test_behind_a_colon_there_are_no_thousands():
    assert parse_duration("1:02,500") == 62.5


@given(st.floats(-1e9, 1e9))
@example(1e-7)
@example(1234567.125)
def test_a_number_as_shown_reads_back_as_itself(value):
    assert read_number(write_number(value)) == value


@given(st.floats(0, LONGEST_S))
@example(62.25)
@example(59.99999999999999)
def test_a_duration_as_shown_reads_back_as_itself(seconds):
    assert parse_duration(write_duration(seconds)) == seconds


@given(st.floats(0, 100_000), st.sampled_from(UNITS))
@example(1 / 3, "oz")
@example(1 + 2 / 3, "oz")
@example(1000.125, "ml")
def test_an_amount_as_shown_reads_back_as_itself(value, unit):
    assert parse_amount(str(Amount(value, unit))) == Amount(value, unit)


@given(st.tuples(*[st.floats(-1e6, 1e6)] * 3).map(sorted))
def test_a_figure_as_shown_reads_back_as_itself(ends):
    low, value, high = ends
    figure = Figure(value, low, high) if low < high else Figure(value)
    assert parse_figure(format_figure(figure)) == figure


def test_durations_are_shown_as_minutes_and_seconds_and_thirds_as_fractions():
    assert [write_duration(each) for each in (75.0, 62.25, 3600.0)] == ["1:15", "1:02.25", "60:00"]
    assert [str(Amount(each, "oz")) for each in (1 / 3, 1.5, 0.7)] == ["1/3 oz", "1.5 oz", "0.7 oz"]


def test_a_number_in_a_sentence_has_a_real_minus():
    told = [figure_words(value) for value in (62.5, -4.6, -0.0, 1234567.0)]
    assert told == ["62.5", "−4.6", "0", "1.23457e+06"]
