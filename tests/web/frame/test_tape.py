from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.domain.routine.drink import Drink
from server.domain.routine.plan import layout
from server.domain.routine.rules import TimeCall
from server.web.frame.lettering import (
    LETTER_PX,
    WIDTHS_PX,
    Notch,
    before_a_line,
    beside,
    first_that_fit,
    room_of,
    side_by_side,
)
from server.web.frame.tape import MOST_TICKS, TapeScale, plan_tape, ticks
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
    return plan_tape(routine, layout(routine), rules)


# The plan


def test_a_piece_is_as_wide_as_it_is_long():
    first, second, third = tape_of().blocks
    assert second.width == pytest.approx(2 * first.width, abs=NEARLY)
    assert second.x == pytest.approx(first.x + first.width, abs=NEARLY)
    assert third.x + third.width == pytest.approx(100 * 510 / (600 * 1.03), abs=NEARLY)


def test_a_block_lies_in_the_track_of_its_lane_and_a_helper_in_one_of_its_own():
    helped = make_segment("s4", 60, lane="hands", helper=True)
    blocks = tape_of(make_routine(segments=(*ROUTINE.segments, helped))).blocks
    assert [each.row for each in blocks] == ["both", "hands", "both", "helper"]


def test_a_block_has_the_tint_of_its_drink_by_the_order_of_drinks():
    segments = (
        make_segment("s1", drink_id="d2"),
        make_segment("s2", drink_id="d1"),
        make_segment("s3", drink_id=None),
    )
    drinks = tuple(Drink(each, f"Drink {each}") for each in ("d1", "d2"))
    blocks = tape_of(make_routine(drinks=drinks, segments=segments)).blocks
    assert [each.tint for each in blocks] == ["drink-2", "drink-1", "no-drink"]


def test_calls_target_and_end_of_the_slot_stand_at_their_time():
    tape = tape_of(rules=CALLED)
    (call,) = tape.calls
    assert tape.end.x == pytest.approx(100 / 1.03, abs=NEARLY)
    assert (call.x, call.label) == (pytest.approx(tape.end.x / 2, abs=NEARLY), "5 min")
    assert tape.target.x < tape.end.x


def test_what_runs_past_the_slot_is_marked_and_only_that():
    long = make_routine(segments=(make_segment("s1", 720),))
    over = tape_of(long).overrun
    assert over.width == pytest.approx(100 * 120 / (720 * 1.03), abs=NEARLY)
    assert tape_of().overrun is None


@given(routines(), rule_sheets())
def test_everything_lies_within_the_strip(routine, rules):
    tape = tape_of(routine, rules)
    strips = [piece for each in tape.processes for piece in (each.busy, each.unsure)]
    for piece in (*tape.blocks, *strips):
        assert 0 <= piece.x <= piece.x + piece.width <= 100 + NEARLY
        assert piece.width >= 0
    assert all(0 <= notch.x <= 100 for notch in (*tape.calls, tape.target, tape.end))


@given(routines())
def test_pieces_of_a_lane_never_overlap(routine):
    tape = tape_of(routine)
    for lane in ("hands", "voice"):
        pieces = [each for each in tape.blocks if each.row in (lane, "both")]
        assert all(one.x + one.width <= other.x + NEARLY for one, other in pairwise(pieces))


def minutes_of(label):
    """The minutes of "5:00", or from 100 minutes on of "1:45:00"."""
    *hours, minutes, seconds = label.split(":")
    assert seconds == "00"
    return 60 * int(hours[0] if hours else 0) + int(minutes)


@given(st.floats(1, 1e13))
def test_ticks_stand_in_even_steps_of_whole_minutes_and_never_crowd(span_s):
    marks = ticks(TapeScale(span_s))
    minutes = [minutes_of(mark.label) for mark in marks]
    assert len(marks) <= MOST_TICKS + 1
    assert minutes[0] == 0
    assert len({later - earlier for earlier, later in pairwise(minutes)}) <= 1


def test_a_slot_of_ten_minutes_has_a_tick_for_each():
    assert [mark.label for mark in ticks(TapeScale(618))] == [f"{n}:00" for n in range(11)]


# Processes


@pytest.mark.parametrize(
    ("likely_s", "late"),
    [(200, False), (300, False), (301, True)],
    ids=["early", "just in time", "late"],
)
def test_a_process_shows_whether_it_comes_late(likely_s, late):
    duration = replace(make_process().duration, likely_s=likely_s)
    (strip,) = tape_of(replace(ROUTINE, processes=(make_process(duration=duration),))).processes
    assert strip.late == late
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


# Lettering


def test_what_has_no_room_is_lettered_from_the_next_width_on():
    assert room_of(10, 4) == "from-medium"
    assert room_of(50, 4) == "from-small"
    assert room_of(1, 4) == "never"


@given(st.lists(st.floats(0, 100), max_size=8))
def test_words_of_notches_never_lie_upon_one_another(places):
    notches = [Notch(x, "5 min", "") for x in places]
    found = side_by_side(notches, 97, {name: 5 for name, _ in WIDTHS_PX})
    names = [name for name, _ in WIDTHS_PX]
    for name, px in WIDTHS_PX:
        shown = sorted(
            each.x * px / 100
            for each in found
            if each.room != "never"
            and names.index(each.room.removeprefix("from-")) <= names.index(name)
        )
        assert all(later - earlier >= 5 * 8 for earlier, later in pairwise(shown))


def test_words_that_begin_somewhere_keep_clear_of_those_that_end_elsewhere():
    assert beside(10, 40, 60, 10, left=False) == "from-wide"
    assert beside(10, 40, None, 0, left=False) == "from-medium"
    assert beside(10, 80, 60, 10, left=False) == "never"


def test_of_a_name_stand_the_first_words_that_leave_its_block_some_air():
    words = ["Strain,", "serve", "and", "garnish"]
    strain_px = len("Strain") * LETTER_PX + 14
    assert first_that_fit(words, strain_px, 1000) == ""
    assert first_that_fit(words, strain_px + 1, 0) == "Strain"
    assert first_that_fit(words, strain_px + 1, 1000) == "Strain, serve and garnish"
    assert first_that_fit([], 1000, 1000) == ""


@given(st.floats(0, 100), st.integers(1, 40), st.floats(0, 100), st.floats(3, 12))
def test_words_beside_a_line_never_cross_it(x, letters, line_x, percent_px):
    at, dx, ends = before_a_line(x, letters, line_x, percent_px)
    width = letters * LETTER_PX
    left_px = at * percent_px + dx - (width if ends else 0)
    assert not left_px < line_x * percent_px < left_px + width
