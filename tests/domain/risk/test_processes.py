import pytest

from server.domain.belief.history import Run
from server.domain.risk.activities import Fallback
from server.domain.risk.model import model_of
from server.domain.risk.parts import network_of
from server.domain.risk.processes import process_times
from server.domain.risk.times import schedule
from server.domain.routine.estimate import TimeEstimate
from tests.domain.risk.plans import parts, process, segment

SEGMENTS = (segment("a", 20), segment("b", 60), segment("x", 40), segment("c", 30))


def times_of(some_process):
    some = parts(*SEGMENTS, processes=[some_process])
    (times,) = process_times(some, schedule(network_of(some), some.likely_s))
    return times


def test_a_process_must_be_started_so_long_before_it_is_needed():
    times = times_of(process(duration=TimeEstimate(40, 50, 70), after="a", before="c"))
    assert (times.start_s, times.ready_s, times.due_s, times.margin_s) == (20, 70, 120, 50)
    assert (times.latest_start_s, times.safe_start_s) == (70, 50)


@pytest.mark.parametrize(("high_s", "segment_id"), [(70, "a"), (40, "b"), (101, None)])
def test_the_last_segment_after_which_it_is_still_safe_is_named(high_s, segment_id):
    times = times_of(process(duration=TimeEstimate(30, 35, high_s), after="a", before="c"))
    assert times.safe_after_id == segment_id


def test_the_product_waits_until_it_is_used():
    times = times_of(process(duration=TimeEstimate(40, 50, 120), after="a", before="c"))
    assert times.waits_s == (60, 50, 0)


def test_a_late_process_has_a_negative_margin_with_or_without_a_fallback():
    waited = times_of(process(150, after="a", before="c"))
    fallen = times_of(process(150, after="a", before="c", fallback=Fallback()))
    assert waited.margin_s == fallen.margin_s == -50
    assert waited.safe_start_s == waited.latest_start_s == -30


def test_what_runs_have_shown_replaces_the_planned_duration():
    some = parts(*SEGMENTS, processes=[process(50, after="a", before="c")])
    model = model_of(some, [Run({"p": 77.0 + n % 3}) for n in range(30)])
    (times,) = process_times(some, model.expected, model.estimates)
    assert times.ready_s == pytest.approx(20 + model.estimates["p"].likely_s)
    assert times.latest_start_s == pytest.approx(120 - 78, abs=2)
    assert times.safe_start_s < times.latest_start_s


def test_a_process_that_nobody_needs_has_only_a_start_and_an_end():
    times = times_of(process(50, after="a", before=None))
    assert (times.start_s, times.ready_s, times.margin_s) == (20, 70, None)
