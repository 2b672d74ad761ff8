from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.domain.drift import wording
from tests.table import table


@table(
    "days, said",
    [
        (1, "one day"), (9, "nine days"), (13, "two weeks"), (14, "two weeks"), (15, "two weeks"),
        (17, "17 days"), (21, "three weeks"), (59, "59 days"), (61, "about two months"),
        (365, "about twelve months"),
    ],
)  # fmt: skip
def test_spans_are_said_as_people_say_them(days, said):
    assert wording.span(days) == said


@given(st.floats(0, 3600), st.floats(0, 3600))
def test_bounds_on_the_clock_are_rounded_outwards(one, other):
    low_s, high_s = sorted((one, other))
    low, high = wording.clock_between(low_s, high_s).split(" and ")

    def in_seconds(clock):
        minutes, seconds = clock.split(":")
        return int(minutes) * 60 + int(seconds)

    assert in_seconds(low) <= low_s + 1e-6
    assert in_seconds(high) >= high_s - 1e-6


@given(st.floats(-100, 100), st.floats(-100, 100))
def test_bounds_of_a_difference_are_rounded_outwards(one, other):
    low_s, high_s = sorted((one, other))
    said = wording.between(low_s, high_s).replace("−", "-").removesuffix(" s").split(" to ")
    low, high = map(float, said)
    assert low_s - 0.1 <= low <= low_s + 1e-6
    assert high_s - 1e-6 <= high <= high_s + 0.1


@pytest.mark.parametrize(
    ("part", "said"),
    [
        (0.0, "less than 1 %"),
        (0.004, "less than 1 %"),
        (0.834, "83 %"),
        (0.994, "99 %"),
        (0.9951, "more than 99 %"),
        (1.0, "more than 99 %"),
    ],
)
def test_nothing_is_said_to_be_certain(part, said):
    assert wording.share(part) == said


def test_a_day_has_its_month_in_words():
    assert wording.day(date(2026, 5, 3)) == "3 May"


def test_times_beyond_a_hundred_minutes_are_told_as_everywhere():
    assert wording.clock_between(589.5, 6000.0) == "9:49 and 1:40:00"


def test_lengths_are_rounded_half_up():
    assert (wording.seconds(4.05), wording.seconds(-4.05)) == ("4.1 s", "4.1 s")
