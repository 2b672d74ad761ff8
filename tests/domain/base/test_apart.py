"""Differences are said in words, never with a sign."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.domain.base.durations import format_apart, format_duration, format_signed


@pytest.mark.parametrize(
    ("seconds", "words"),
    [
        (26, "26 s over"),
        (-26.4, "26 s under"),
        (71, "1:11 over"),
        (0.4, "on plan"),
        (59.6, "1:00 over"),
    ],
)
def test_whole_seconds_for_plans(seconds, words):
    assert format_apart(seconds) == words


@pytest.mark.parametrize(
    ("seconds", "words"), [(1.84, "1.8 s late"), (-0.04, "on plan"), (-71.2, "1:11 early")]
)
def test_tenths_for_what_was_measured(seconds, words):
    assert format_apart(seconds, "late", "early", tenths=True) == words


@given(st.floats(-7200, 7200))
def test_no_difference_carries_a_sign(seconds):
    assert not set(format_apart(seconds)) & set("+-−±")


def test_from_a_minute_on_it_is_told_to_the_nearest_second_as_the_stage_tells_it():
    # The same cases as in tests/js/words.test.mjs.
    for is_measured in (False, True):
        told = [format_apart(s, tenths=is_measured) for s in (-537.8, 536.46, 59.96)]
        assert told == ["8:58 under", "8:56 over", "1:00 over"]
    assert format_apart(536.5) == "8:57 over"


def test_half_a_tenth_counts_as_a_whole_one_everywhere_as_on_stage():
    # The same cases as in tests/js/words.test.mjs.
    assert format_apart(3.0, tenths=True) == "3 s over"
    halves_s = (3.25, 41.25, 0.35)
    assert [format_apart(s, tenths=True) for s in halves_s] == [
        "3.3 s over", "41.3 s over", "0.4 s over",
    ]  # fmt: skip
    assert [format_duration(s) for s in halves_s] == ["0:03.3", "0:41.3", "0:00.4"]
    assert [format_signed(s) for s in halves_s] == ["+3.3 s", "+41.3 s", "+0.4 s"]
