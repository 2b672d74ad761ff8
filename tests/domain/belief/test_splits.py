"""How long segments and processes of a run took, as far as its marks tell."""

from dataclasses import replace

import pytest

from server.domain.belief.history import meant_s
from server.domain.belief.run_durations import durations_s, places_of
from server.domain.runs.labels import Occasion
from server.domain.runs.summary import RunSummary
from tests.factories import make_line, make_process, make_routine, make_segment

PLAIN = make_routine()


def line(ends_s, **summary):
    ends_ms = {each: round(at_s * 1000) for each, at_s in ends_s.items()}
    return make_line(
        max(ends_s.values()), summary=RunSummary(ends_ms=ends_ms, splits_ms={}, **summary)
    )


def durations(routine, ends_s, **summary):
    return durations_s(routine.segments, routine.processes, line(ends_s, **summary))


def test_a_plain_segment_lasts_from_the_mark_before_it_to_its_own():
    assert durations(PLAIN, {"s1": 61, "s2": 125, "s3": 180}) == {"s1": 61, "s2": 64, "s3": 55}


def test_a_missing_mark_leaves_two_segments_unmeasured():
    assert durations(PLAIN, {"s1": 61, "s3": 180}) == {"s1": 61}


def test_a_split_that_was_left_out_is_unmeasured_and_the_next_begins_at_its_mark():
    run = line({"s1": 61, "s2": 125, "s3": 180})
    run = replace(run, occasion=Occasion(left_out=("s2",)))
    assert durations_s(PLAIN.segments, (), run) == {"s1": 61, "s3": 55}


def test_talk_alongside_lasts_from_the_start_of_the_hands():
    talk = make_segment("s2", lane="voice", alongside=True)
    routine = make_routine(segments=(make_segment("s1", lane="hands"), talk, "s3"))
    assert durations(routine, {"s1": 50, "s2": 70, "s3": 100}) == {"s1": 50, "s2": 70, "s3": 30}


def test_talk_alongside_begins_no_earlier_than_the_hands_though_its_lane_was_free_before():
    hands = [make_segment(each, lane="hands") for each in ("s2", "s3")]
    talk = make_segment("s4", lane="voice", alongside=True)
    routine = make_routine(segments=("s1", *hands, talk))
    assert durations(routine, {"s1": 20, "s2": 50, "s3": 90, "s4": 100})["s4"] == 50


def test_a_mark_made_with_the_one_before_says_nothing_of_how_long_talk_alongside_took():
    talk = make_segment("s2", lane="voice", alongside=True)
    routine = make_routine(segments=(make_segment("s1", lane="hands"), talk, "s3"))
    assert durations(routine, {"s1": 50, "s2": 51, "s3": 100}) == {"s1": 50, "s3": 49}


@pytest.mark.parametrize(("apart_s", "told"), [(1.499, {}), (1.5, {"s2": 51.5})])
def test_marks_less_than_a_second_and_a_half_apart_were_made_at_once(apart_s, told):
    talk = make_segment("s2", lane="voice", alongside=True)
    routine = make_routine(segments=(make_segment("s1", lane="hands"), talk))
    assert durations(routine, {"s1": 50, "s2": 50 + apart_s}) == {"s1": 50, **told}


def test_a_segment_that_was_marked_with_the_one_before_took_no_time():
    assert durations(PLAIN, {"s1": 60, "s2": 60}) == {"s1": 60, "s2": 0}


def test_what_a_helper_does_stays_unmeasured_and_holds_nobody_back():
    helped = make_segment("s2", lane="hands", helper=True)
    routine = make_routine(segments=("s1", helped, "s3"))
    assert durations(routine, {"s1": 50, "s2": 52, "s3": 100}) == {"s1": 50, "s3": 50}


LATE = {"missed": ("p1",), "process_ms": {"p1": 80_000}}


def test_waiting_for_a_late_process_is_not_taken_for_the_segment_that_waited():
    routine = make_routine(processes=(make_process(),))
    found = durations(routine, {"s1": 60, "s2": 120, "s3": 190}, **LATE)
    assert found["s3"] == 50
    assert found["p1"] == 80


def test_a_segment_before_which_a_fallback_may_have_been_taken_is_left_out():
    routine = make_routine(processes=(make_process(fallback="The reserve."),))
    assert "s3" not in durations(routine, {"s1": 60, "s2": 120, "s3": 190}, **LATE)


UNMARKED = {"missed": ("p1",), "process_ms": {}}


@pytest.mark.parametrize("plan_b", [{}, {"fallback": "The reserve."}], ids=["none", "no longer"])
def test_a_process_that_nobody_marked_ready_leaves_its_segment_measured(plan_b):
    routine = make_routine(processes=(make_process(**plan_b),))
    assert durations(routine, {"s1": 60, "s2": 120, "s3": 190}, **UNMARKED)["s3"] == 70


def test_where_plan_b_takes_time_a_process_that_nobody_marked_leaves_the_segment_out():
    for costs in ({"patience_s": 5.0}, {"fallback_by_s": 100.0}, {"fallback_cost_s": 12.0}):
        routine = make_routine(processes=(make_process(fallback="The reserve.", **costs),))
        assert "s3" not in durations(routine, {"s1": 60, "s2": 120, "s3": 190}, **UNMARKED)


@pytest.mark.parametrize(
    ("then_s", "usual_s", "expected_s"),
    [(60, 61, 0), (66, 66, -6), (52, 50, 8), (50, 63, 0), (70, 59, 0), (70, 62, -2)],
    ids=["unchanged", "cut", "longer", "put right up", "put right down", "beyond putting right"],
)
def test_a_step_of_the_plan_means_what_goes_beyond_putting_it_right(then_s, usual_s, expected_s):
    assert meant_s(then_s, 60, usual_s) == expected_s


def test_incidents_keep_their_place_where_it_is_in_the_plan():
    struck = line({"s1": 60}, incidents=("spill",) * 4, incident_segments=("s1", "gone", ""))
    assert places_of(PLAIN.segments, struck) == ("s1", None, None, None)
