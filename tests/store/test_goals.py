import pytest

from server.domain.base.errors import NotFound
from server.domain.drift.goals import Goal
from server.store.goals import KeptGoal, load_goal, set_goal, undo_goal
from server.store.routine_copies import copy_routine
from server.store.routines import change_of
from tests.factories import NOW_MS

STEADY = Goal(runs=3, low_s=580, high_s=598)
EARLY = Goal(runs=5, high_s=590, in_a_row=False)


def test_a_routine_has_no_goal_until_one_is_set(session, routine):
    assert load_goal(session, "r1") == KeptGoal()
    set_goal(session, "r1", STEADY)
    assert load_goal(session, "r1").now == STEADY


def test_undo_brings_back_the_goal_before_and_undoing_that_the_new_one(session, routine):
    set_goal(session, "r1", STEADY)
    set_goal(session, "r1", EARLY)
    undo_goal(session, "r1")
    assert load_goal(session, "r1").now == STEADY
    undo_goal(session, "r1")
    assert load_goal(session, "r1").now == EARLY


def test_a_goal_that_was_taken_away_comes_back_by_undo(session, routine):
    set_goal(session, "r1", STEADY)
    set_goal(session, "r1", None)
    assert load_goal(session, "r1").now is None
    undo_goal(session, "r1")
    assert load_goal(session, "r1").now == STEADY


def test_a_change_of_the_goal_counts_as_a_change_of_the_routine(session, routine):
    before = change_of(session, "r1")
    set_goal(session, "r1", STEADY)
    undo_goal(session, "r1")
    assert change_of(session, "r1") == before + 2


def test_a_copy_of_a_routine_aims_for_the_same(session, routine):
    set_goal(session, "r1", STEADY)
    assert load_goal(session, copy_routine(session, "r1", NOW_MS).id).now == STEADY


@pytest.mark.parametrize("ask", [load_goal, undo_goal])
def test_an_unknown_routine_has_no_goal(session, ask):
    with pytest.raises(NotFound):
        ask(session, "nobody")
