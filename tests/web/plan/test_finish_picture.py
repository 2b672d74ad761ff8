"""The picture of the finish: to scale, slot end and target in it, two on one scale."""

import re
from dataclasses import replace
from itertools import pairwise

import pytest

from server.domain.risk.forecast import forecast
from server.domain.risk.model import model_of
from server.domain.risk.outcome import Histogram
from server.domain.risk.parts import parts_of
from server.web.plan.finish_picture import finish_picture
from tests.factories import RULES, make_routine, make_segment


def forecast_of(*seconds):
    segments = tuple(make_segment(f"s{n}", each) for n, each in enumerate(seconds))
    return forecast(model_of(parts_of(make_routine(segments=segments))), RULES, 4096)


AROUND = forecast_of(200, 200, 195)


def post(picture, kind):
    (found,) = [each for each in picture.posts if each.kind == kind]
    return found.x


def test_bars_lie_beneath_each_other_and_the_highest_fills_the_picture():
    bars = finish_picture(AROUND, RULES).bars
    assert max(bar.height for bar in bars) == 100
    gaps = [later.x - (bar.x + bar.width) for bar, later in pairwise(bars)]
    assert gaps == pytest.approx([0] * len(gaps), abs=0.01)


def test_bars_past_the_end_of_the_slot_are_marked_and_no_others():
    picture = finish_picture(AROUND, RULES)
    end = post(picture, "slot")
    assert {bar.over for bar in picture.bars} == {True, False}
    assert all(bar.over == (bar.x >= end - 0.01) for bar in picture.bars)


@pytest.mark.parametrize(
    "seconds", [(60,), (2000,), (600,)], ids=["early", "far over", "at the end"]
)
def test_slot_end_and_target_are_in_the_picture_wherever_the_finishes_lie(seconds):
    picture = finish_picture(forecast_of(*seconds), RULES)
    assert 0 <= post(picture, "target") < post(picture, "slot") <= 100
    assert all(bar.x >= 0 and bar.x + bar.width <= 100.01 for bar in picture.bars)


def test_two_pictures_beside_each_other_have_one_scale():
    other = forecast_of(300, 300, 195)
    one, two = finish_picture(AROUND, RULES, other), finish_picture(other, RULES, AROUND)
    assert (one.posts, one.ticks) == (two.posts, two.ticks)
    assert finish_picture(other, RULES).posts != two.posts


def test_a_bar_that_straddles_the_end_of_the_slot_is_split_there():
    lonely = replace(AROUND, histogram=Histogram(580, 50, (100_000,)))
    inside, over = finish_picture(lonely, RULES).bars
    assert (inside.over, over.over) == (False, True)
    assert over.x == pytest.approx(post(finish_picture(lonely, RULES), "slot"), abs=0.01)


def test_what_lies_beyond_the_last_bar_is_told():
    told = finish_picture(
        replace(AROUND, slots=100, histogram=Histogram(500, 20, (99,), 0, 1)), RULES
    )
    assert told.later == "1 in 100 finish later than 8:40."
    whole = finish_picture(replace(AROUND, histogram=Histogram(500, 20, (99,))), RULES)
    assert whole.later == ""


def test_a_picture_of_a_day_has_few_ticks():
    endless = replace(AROUND, histogram=Histogram(500, 1e9, (99, 1)))
    assert 2 <= len(finish_picture(endless, RULES).ticks) <= 9


def test_the_table_rises_from_row_to_row():
    chances = [
        float(re.search(r"(\d+) in", chance)[1]) for _, chance in finish_picture(AROUND, RULES).rows
    ]
    assert chances == sorted(chances)
