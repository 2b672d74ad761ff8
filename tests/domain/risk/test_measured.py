"""What runs say about a plan as it stands now."""

import pytest

from server.domain.risk.measured import PastRun, measured_runs
from server.domain.runs.summary import RunSummary
from tests.factories import make_line, make_process, make_routine, make_segment

PLAIN = make_routine()


def line(ends_s, **summary):
    ends_ms = {each: round(at_s * 1000) for each, at_s in ends_s.items()}
    return make_line(
        max(ends_s.values()), summary=RunSummary(ends_ms=ends_ms, splits_ms={}, **summary)
    )


def measured(routine, *lines, then_s=None):
    now_s = {each.id: each.duration.likely_s for each in routine.segments}
    return measured_runs(routine, now_s, [PastRun(each, then_s or now_s) for each in lines])


def durations(routine, ends_s, then_s=None, **summary):
    (run,) = measured(routine, line(ends_s, **summary), then_s=then_s)
    return dict(run.durations_s)


def test_a_plain_segment_lasts_from_the_mark_before_it_to_its_own():
    assert durations(PLAIN, {"s1": 61, "s2": 125, "s3": 180}) == {"s1": 61, "s2": 64, "s3": 55}


def test_a_missing_mark_leaves_two_segments_unmeasured():
    assert durations(PLAIN, {"s1": 61, "s3": 180}) == {"s1": 61}


def test_talk_alongside_lasts_from_the_start_of_the_hands():
    talk = make_segment("s2", lane="voice", alongside=True)
    routine = make_routine(segments=(make_segment("s1", lane="hands"), talk, "s3"))
    assert durations(routine, {"s1": 50, "s2": 70, "s3": 100}) == {"s1": 50, "s2": 70, "s3": 30}


def test_a_mark_made_with_the_one_before_says_nothing_of_how_long_talk_alongside_took():
    talk = make_segment("s2", lane="voice", alongside=True)
    routine = make_routine(segments=(make_segment("s1", lane="hands"), talk, "s3"))
    assert durations(routine, {"s1": 50, "s2": 51, "s3": 100}) == {"s1": 50, "s3": 49}


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


@pytest.mark.parametrize(
    ("then_s", "seen_s", "expected_s"),
    [(60, 61, 61), (66, 66, 60), (52, 50, 58), (50, 63, 63), (70, 59, 59), (70, 62, 60)],
    ids=["unchanged", "cut", "longer", "put right up", "put right down", "beyond putting right"],
)
def test_a_split_moves_with_the_plan_unless_the_plan_moved_towards_it(then_s, seen_s, expected_s):
    found = durations(PLAIN, {"s1": seen_s}, then_s={"s1": then_s})
    assert found == {"s1": expected_s}


def test_incidents_keep_their_place_where_it_is_still_in_the_plan():
    (run,) = measured(
        PLAIN,
        line({"s1": 60}, incidents=("spill",) * 4, incident_segments=("s1", "gone", "")),
    )
    assert run.incidents == ("s1", None, None, None)


def test_a_run_that_does_not_count_teaches_nothing():
    (kept,) = measured(PLAIN, make_line(splits_s={"s1": 60}), make_line(excluded=True))
    assert kept.durations_s == {"s1": 60}
