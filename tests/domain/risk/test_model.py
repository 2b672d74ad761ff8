from dataclasses import replace

import pytest

from server.domain.base.errors import InvalidInput
from server.domain.belief.history import Run
from server.domain.risk.model import model_of
from server.domain.routine.estimate import TimeEstimate
from tests.domain.risk.changes import AddHelper, Lengthen, Swap
from tests.domain.risk.plans import parts, process, segment

SOME = parts(
    segment("a", planned=TimeEstimate(9, 10, 12)),
    segment("b", planned=TimeEstimate(45, 50, 60), voice_s=30.0),
    segment("c", planned=TimeEstimate(27, 30, 36)),
    processes=[process(40)],
)
RUNS = [Run({"a": 14.0, "b": 58.0, "p": 44.0}), Run({"a": 14.4, "b": 60.0})]


def test_runs_move_segments_and_processes_alike():
    model = model_of(SOME, RUNS)
    assert 10 < model.beliefs["a"].median_s < 14.4
    assert 40 < model.beliefs["p"].median_s < 44
    assert model.beliefs["c"].runs == 0
    assert model.expected.finish_s > model.plan.finish_s


def test_a_change_moves_a_measured_belief_by_the_seconds_of_the_plan():
    model = model_of(SOME, RUNS)
    changed = model.changed(Lengthen("b", -8).made(SOME))
    assert changed.beliefs["b"].median_s == pytest.approx(model.beliefs["b"].median_s - 8, abs=0.1)
    assert changed.beliefs["a"].median_s == pytest.approx(model.beliefs["a"].median_s, abs=0.01)


def test_a_part_that_is_not_measured_follows_the_changed_plan():
    model = model_of(SOME, RUNS)
    changed = model.changed(Lengthen("c", 30).made(SOME))
    assert changed.beliefs["c"].median_s == pytest.approx(2 * model.beliefs["c"].median_s)


def test_what_is_tried_is_what_starting_anew_from_the_changed_plan_gives():
    longer = Lengthen("b", -8).made(SOME)
    runs = [replace(run, planned_s=SOME.likely_s) for run in RUNS]
    tried, anew = model_of(SOME, runs).changed(longer), model_of(longer, runs)
    for each, belief in anew.beliefs.items():
        assert tried.beliefs[each].median_s == pytest.approx(belief.median_s, rel=1e-9)
        assert tried.beliefs[each].high_scale == pytest.approx(belief.high_scale, rel=1e-9)


def test_a_segment_of_no_time_gets_a_spread_when_it_is_lengthened():
    some = parts(segment("a", 0), segment("b"))
    lengthened = model_of(some).changed(Lengthen("a", 20).made(some)).beliefs["a"]
    assert lengthened.median_s == pytest.approx(20)
    assert lengthened.high_scale > 0


def test_every_part_keeps_its_row_of_random_numbers_through_changes():
    model = model_of(SOME)
    swapped = model.changed(Swap("a", "b").made(SOME))
    helped = model.changed(AddHelper("b").made(SOME))
    assert swapped.rows == model.rows
    assert helped.rows == model.rows | {"b-helper": 4}
    assert helped.reserved_rows == model.reserved_rows


def test_processes_and_helpers_do_not_follow_the_presenters_day():
    helped = model_of(SOME).changed(AddHelper("b").made(SOME))
    loadings = {each: belief.loading for each, belief in helped.beliefs.items()}
    assert (loadings["p"], loadings["b-helper"]) == (0, 0)
    assert loadings["b"] > 0.4


def test_a_circle_is_refused_when_the_model_is_made():
    with pytest.raises(InvalidInput, match="“Drip”"):
        model_of(parts(segment("c"), segment("a"), processes=[process()]))
