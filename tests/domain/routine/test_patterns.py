"""An empty pattern of segments fills the time it is given."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.domain.base.errors import InvalidInput
from server.domain.routine.patterns import MOST_DRINKS, pattern, with_pattern
from tests.factories import make_routine, make_segment


@given(st.integers(60, 7200), st.integers(1, MOST_DRINKS))
def test_a_pattern_takes_the_whole_time(total_s, drinks):
    assert sum(seconds for _, seconds in pattern(total_s, drinks)) == total_s


@given(st.integers(120, 7200), st.integers(1, MOST_DRINKS))
def test_every_drink_is_introduced_made_and_served(total_s, drinks):
    names = [name for name, _ in pattern(total_s, drinks)]
    assert len(names) == len(set(names)) == 3 * drinks + 2


@pytest.mark.parametrize("drinks", [0, MOST_DRINKS + 1])
def test_a_number_of_drinks_that_no_slot_has_is_refused(drinks):
    with pytest.raises(InvalidInput):
        pattern(600, drinks)


def test_a_pattern_overwrites_no_segments():
    routine = make_routine(segments=(make_segment("s1", 20),))
    with pytest.raises(InvalidInput):
        with_pattern(routine, 600, 2, iter("abcdefgh").__next__)
