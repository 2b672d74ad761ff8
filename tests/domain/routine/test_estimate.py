import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.domain.base.errors import InvalidInput
from server.domain.routine.estimate import TimeEstimate, around, estimate_of
from server.domain.routine.routine import Spread
from tests.domain.strategies import spreads


def test_a_planned_duration_with_all_three_is_taken_as_it_is():
    assert estimate_of(Spread(44, 40, 52)) == TimeEstimate(40, 44, 52)


def test_what_a_plan_leaves_open_is_filled_in_and_said_to_be_assumed():
    assert estimate_of(Spread(50)) == TimeEstimate(45, 50, 60, assumed=True)
    assert estimate_of(Spread(50, low_s=30)) == TimeEstimate(30, 50, 60, assumed=True)


@given(spreads())
def test_every_plan_makes_an_estimate_that_holds_its_likely_time(spread):
    assert estimate_of(spread).likely_s == spread.likely_s


@pytest.mark.parametrize("wrong", [(5, 4, 6), (3, 6, 5), (-1, 2, 3), (float("nan"), 2, 3)])
def test_three_numbers_that_do_not_rise_are_refused(wrong):
    with pytest.raises(InvalidInput, match="must rise"):
        TimeEstimate(*wrong)


def test_hands_and_voice_together_take_the_longer_of_the_two():
    hands = TimeEstimate(40, 44, 52)
    assert hands.longer_of(20) == hands
    assert hands.longer_of(60) == TimeEstimate(54, 60, 72)


@given(st.floats(0, 100), st.floats(0, 100))
def test_the_longer_of_both_is_shorter_than_neither(hands_s, voice_s):
    both = around(hands_s).longer_of(voice_s)
    assert both.likely_s == max(hands_s, voice_s)
    assert both.high_s == pytest.approx(1.2 * max(hands_s, voice_s))


def test_a_change_moves_low_and_high_in_proportion():
    assert TimeEstimate(40, 50, 60).changed_by(-25) == TimeEstimate(20, 25, 30)
    assert TimeEstimate(40, 50, 60).changed_by(-80) == TimeEstimate(0, 0, 0)
    assert TimeEstimate(0, 0, 0).changed_by(10).likely_s == 10
