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


def test_fifty_slots_are_laid_where_they_end_as_many_inside_as_the_chance_says():
    columns = finish_picture(AROUND, RULES).columns
    assert sum(each.lots for each in columns) == 50
    inside = sum(each.lots for each in columns if not each.over)
    assert inside == pytest.approx(50 * AROUND.chance_inside, abs=1)
    assert max(each.lots * each.high for each in columns) <= 100.1


def test_columns_past_the_end_of_the_slot_are_marked_and_none_lies_across_it():
    columns, end = (picture := finish_picture(AROUND, RULES)).columns, post(picture, "slot")
    assert {each.over for each in columns} == {True, False}
    for each in columns:
        assert each.x >= end - 0.01 if each.over else each.x + each.width <= end + 0.01


def test_columns_do_not_overlap():
    columns = finish_picture(AROUND, RULES).columns
    assert all(later.x >= one.x + one.width - 0.01 for one, later in pairwise(columns))


def test_a_slot_that_ends_at_the_very_end_is_inside():
    exact = replace(AROUND, finishes_s=(RULES.slot_s,) * 100)
    assert [each.over for each in finish_picture(exact, RULES).columns] == [False]


@pytest.mark.parametrize(
    "seconds", [(60,), (2000,), (600,)], ids=["early", "far over", "at the end"]
)
def test_slot_end_and_target_are_in_the_picture_wherever_the_finishes_lie(seconds):
    picture = finish_picture(forecast_of(*seconds), RULES)
    assert 0 <= post(picture, "target") < post(picture, "slot") <= 100
    assert all(each.x >= 0 and each.x + each.width <= 100.01 for each in picture.columns)


def test_two_pictures_beside_each_other_have_one_scale():
    other = forecast_of(300, 300, 195)
    one, two = finish_picture(AROUND, RULES, other), finish_picture(other, RULES, AROUND)
    assert (one.posts, one.ticks) == (two.posts, two.ticks)
    assert finish_picture(other, RULES).posts != two.posts


def test_what_lies_beyond_the_picture_is_told():
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
