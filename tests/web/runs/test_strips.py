"""Runs as strips: one scale, the colours of the drinks, what lies past the slot."""

import re

import pytest

from server.domain.drift.goals import Goal
from server.domain.routine.drink import Drink
from server.web.runs.strips import MOST_SLOTS, StripMaker
from tests.factories import RULES, make_line, make_routine, make_segment

ROUTINE = make_routine(
    segments=(
        make_segment("s1", 150),
        make_segment("s2", 300, drink_id="d1"),
        make_segment("s3", 60),
    ),
    drinks=(Drink("d1", "Tea", 4),),
)
NEARLY = 0.002
FIRST = make_line(600, {"s1": 150, "s2": 290, "s3": 160}, id="run1", label="First")
LONG = make_line(660, {"s1": 165, "s2": 300, "s3": 195}, id="run2", label="Long")


def made(*lines, routine=ROUTINE, goal=None):
    maker = StripMaker(routine, RULES, lines, goal)
    return maker, [maker.strip(line) for line in lines]


def test_plan_and_runs_are_drawn_to_one_scale():
    maker, (first, long) = made(FIRST, LONG)
    widths = [strip.blocks[0].width for strip in (maker.plan(), first, long)]
    assert widths[0] == widths[1] == pytest.approx(100 * 150 / (660 * 1.03), abs=NEARLY)
    assert widths[2] == pytest.approx(widths[0] * 1.1, abs=NEARLY)


def test_a_segment_across_the_end_of_the_slot_is_cut_there_and_its_rest_falls():
    _, (strip,) = made(LONG)
    before, after = strip.blocks[-2:]
    assert (before.fell, after.fell) == (False, True)
    assert before.x + before.width == pytest.approx(100 * 600 / (660 * 1.03), abs=NEARLY)
    assert after.width == pytest.approx(100 * 60 / (660 * 1.03), abs=NEARLY)


def test_a_block_has_the_drink_of_its_segment_and_tells_its_split():
    _, (strip,) = made(FIRST)
    assert [each.kind for each in strip.blocks] == ["no-drink", "drink-1", "no-drink"]
    assert strip.blocks[1].title == "2. Segment s2: 4:50.0"


def test_a_run_without_a_name_is_told_apart_by_its_time():
    bare = make_line(600, {"s1": 150}, id="bare")
    _, (strip, named) = made(bare, FIRST)
    assert re.fullmatch(r"\d\d:\d\d", strip.about)
    assert named.about == "First"


def test_a_segment_that_left_the_plan_is_drawn_without_a_name():
    _, (strip,) = made(FIRST, routine=make_routine(segments=("s1", "s3")))
    assert strip.blocks[1].title == "a former segment: 4:50.0"


def test_a_run_that_was_left_running_over_night_squeezes_no_other():
    night = make_line(8 * 3600, {"s1": 150, "s2": 290, "s3": 28_360}, id="night")
    maker, _ = made(FIRST, night)
    assert maker.bed().end.x == pytest.approx(100 / (MOST_SLOTS * 1.03), abs=0.01)


@pytest.mark.parametrize(
    ("goal", "words", "lines"),
    [(None, "target, 9:50", 1), (Goal(3, 580, 598), "goal, 9:40 to 9:58", 2)],
)
def test_where_one_wants_to_finish_is_the_goal_or_else_the_target(goal, words, lines):
    bed = made(FIRST, goal=goal)[0].bed()
    assert (bed.wanted_words, len(bed.wanted)) == (words, lines)


@pytest.mark.parametrize(
    ("total_s", "words"),
    [
        (590.4, "on target"),
        (589.4, "11 s inside"),
        (599.8, "just inside"),
        (600.2, "just over"),
        (602.5, "3 s over"),
        (671, "1:11 over"),
    ],
)
def test_a_finish_is_told_in_words_from_what_the_clock_reads(total_s, words):
    _, (strip,) = made(make_line(total_s, {"s1": 150}))
    assert strip.words == words


def test_beside_a_strip_stands_that_a_run_was_broken_off_and_its_own_page_says_why():
    left = make_line(600, {"s1": 150}, id="run3", doubt="unmarked")
    assert left.why_not == "broken off: most segments not marked"
    _, (strip,) = made(left)
    assert strip.words == "broken off"
