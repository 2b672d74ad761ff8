"""An empty pattern of segments fills the time it is given."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.domain.base.errors import InvalidInput
from server.domain.base.text import LINE
from server.domain.routine.drink import Drink
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


def test_a_pattern_is_about_the_drinks_that_are_there():
    drinks = (Drink("d1", "Quarry"), Drink("d2", "x" * LINE))
    routine = make_routine(segments=(), drinks=drinks)
    made = with_pattern(routine, 600, 3, iter("abcdefghijkl").__next__).segments
    assert [each.name for each in made[1:4]] == ["Introduce Quarry", "Make Quarry", "Serve Quarry"]
    assert made[7].name == "Introduce drink 3"
    about = [None, *["d1"] * 3, *["d2"] * 3, *[None] * 4]
    assert [each.drink_id for each in made] == about


def test_a_pattern_for_fewer_drinks_than_are_there_leaves_the_last_out():
    routine = make_routine(segments=(), drinks=(Drink("d1", "Quarry"), Drink("d2", "Orchard")))
    made = with_pattern(routine, 600, 1, iter("abcdefgh").__next__).segments
    assert [each.drink_id for each in made] == [None, "d1", "d1", "d1", None]
