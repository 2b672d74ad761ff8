from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.domain.routine.plan import layout
from server.domain.routine.rules import TimeCall
from server.web.frame.tape import MOST_TICKS, Scale, plan_tape, ticks, two_lines
from tests.domain.strategies import routines, rule_sheets
from tests.factories import RULES, make_process, make_routine, make_segment

ROUTINE = make_routine(
    segments=(
        make_segment("s1", 150),
        make_segment("s2", 300, lane="hands"),
        make_segment("s3", 60),
    )
)
CALLED = replace(RULES, time_calls=(TimeCall(300, "Half way"),))
NEARLY = 0.01


def tape_of(routine=ROUTINE, rules=RULES):
    return plan_tape(layout(routine), rules)


# The plan


def test_a_piece_is_as_wide_as_it_is_long():
    first, second, third = tape_of().hands
    assert second.width == pytest.approx(2 * first.width, abs=NEARLY)
    assert second.x == pytest.approx(first.x + first.width, abs=NEARLY)
    assert third.x + third.width == pytest.approx(100 * 510 / (600 * 1.03), abs=NEARLY)


def test_each_lane_shows_what_occupies_it():
    tape = tape_of()
    assert [piece.label for piece in tape.hands] == ["1", "2", "3"]
    assert [piece.label for piece in tape.voice] == ["1", "3"]


def test_calls_target_and_end_of_the_slot_stand_at_their_time():
    places = {post.kind: post.x for post in tape_of(rules=CALLED).posts}
    assert places["slot"] == pytest.approx(100 / 1.03, abs=NEARLY)
    assert places["call"] == pytest.approx(places["slot"] / 2, abs=NEARLY)
    assert places["target"] < places["slot"]


def test_what_runs_past_the_slot_is_marked_and_only_that():
    long = make_routine(segments=(make_segment("s1", 720),))
    over = tape_of(long).overrun
    assert over.width == pytest.approx(100 * 120 / (720 * 1.03), abs=NEARLY)
    assert tape_of().overrun is None


@given(routines(), rule_sheets())
def test_everything_lies_within_the_strip(routine, rules):
    tape = tape_of(routine, rules)
    strips = [piece for each in tape.processes for piece in (each.busy, each.unsure, each.waiting)]
    for piece in (*tape.hands, *tape.voice, *filter(None, strips)):
        assert 0 <= piece.x <= piece.x + piece.width <= 100 + NEARLY
        assert piece.width >= 0
    assert all(0 <= post.x <= 100 for post in (*tape.posts, *tape.ticks))


@given(routines())
def test_pieces_of_a_lane_never_overlap(routine):
    tape = tape_of(routine)
    for lane in (tape.hands, tape.voice):
        assert all(one.x + one.width <= other.x + NEARLY for one, other in pairwise(lane))


@given(st.floats(1, 1e13))
def test_ticks_stand_in_even_steps_of_whole_minutes_and_never_crowd(span_s):
    marks = ticks(Scale(span_s))
    minutes = [int(mark.label.removesuffix(":00")) for mark in marks]
    assert len(marks) <= MOST_TICKS + 1
    assert minutes[0] == 0
    assert len({later - earlier for earlier, later in pairwise(minutes)}) <= 1


def test_a_slot_of_ten_minutes_has_a_tick_for_each():
    assert [mark.label for mark in ticks(Scale(618))] == [f"{n}:00" for n in range(11)]


# Processes


@pytest.mark.parametrize(
    ("likely_s", "late", "waits"),
    [(200, False, True), (300, False, False), (301, True, False)],
    ids=["early", "just in time", "late"],
)
def test_a_process_shows_whether_it_waits_or_comes_late(likely_s, late, waits):
    duration = replace(make_process().duration, likely_s=likely_s)
    (strip,) = tape_of(replace(ROUTINE, processes=(make_process(duration=duration),))).processes
    assert (strip.late, strip.waiting is not None) == (late, waits)
    assert strip.due.label == "needed 7:30"


def test_a_process_may_begin_with_the_clock():
    at_once = make_routine(
        segments=(make_segment("s1", 0), make_segment("s2"), make_segment("s3")),
        processes=(make_process(),),
    )
    (strip,) = tape_of(at_once).processes
    assert strip.busy.x == 0


def test_a_process_that_hangs_on_nothing_is_not_drawn():
    loose = replace(ROUTINE, processes=(make_process(after=None),))
    assert tape_of(loose).processes == ()


# Names


@pytest.mark.parametrize(
    ("name", "lines"),
    [
        ("Pour", ("Pour",)),
        ("Greet the judges", ("Greet the", "judges")),
        ("A very long-winded", ("A very", "long-winded")),
    ],
)
def test_a_name_is_broken_into_lines_of_like_length(name, lines):
    assert two_lines(name) == lines
