import pytest

from server.domain.base.errors import InvalidInput
from server.domain.runs.ending import ending, going_on
from server.domain.runs.run import fold, outline_of
from tests.factories import NOW_MS, make_event, make_events, make_routine

OUTLINE = outline_of(make_routine())
OPEN = make_events({"s1": 60.0})
LATER_MS = NOW_MS + 5 * 3_600_000


def ids():
    numbers = iter(range(100))
    return lambda: f"x{next(numbers)}"


def ended(log=OPEN):
    return (*log, *ending(log, NOW_MS, LATER_MS, ids()))


def test_a_run_left_open_is_broken_off_at_the_moment_of_ending_it():
    state = fold(ended(), OUTLINE)
    assert (state.status, state.total_ms) == ("abandoned", 5 * 3_600_000)
    assert state.ends_ms == (60_000, None, None)


def test_marks_and_a_finish_that_arrive_after_the_ending_stand_before_it():
    late = make_events({"s1": 60.0, "s2": 120.0}, total_s=180.0)
    state = fold((*ended(), *late), OUTLINE)
    assert (state.status, state.total_ms) == ("finished", 180_000)


def test_an_ending_is_taken_back_and_the_run_goes_on():
    log = ended()
    state = fold((*log, *going_on(log, LATER_MS, lambda: "back")), OUTLINE)
    assert (state.status, state.ends_ms[0]) == ("running", 60_000)


def test_an_ending_that_was_taken_back_is_what_is_taken_back_again():
    log = ended()
    (back,) = going_on(log, LATER_MS, lambda: "back")
    (again,) = going_on((*log, back), LATER_MS, lambda: "again")
    assert again.target_id == back.target_id == log[-1].id


def test_a_run_that_was_not_ended_here_has_nothing_to_take_back():
    assert going_on(make_events(total_s=60.0, closing="abandon"), LATER_MS, ids()) == ()


def test_a_run_that_was_never_started_cannot_be_ended():
    with pytest.raises(InvalidInput):
        ending((make_event("n", "note", text="x"),), None, LATER_MS, ids())
