from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.domain.run import fold, outline_of
from server.domain.summary import summarise
from tests.domain.run_logs import OUTLINE, events_from, random_log
from tests.factories import make_event, make_events, make_line, make_process, make_routine

ROUTINE = make_routine(processes=(make_process(after="s1", before="s3"),))


def summary_of(events):
    outline = outline_of(ROUTINE)
    return summarise(fold(events, outline), outline)


def test_times_are_kept_by_segment_id_and_only_where_marked():
    summary = summary_of(make_events({"s1": 61.5, "s3": 182.0}))
    assert summary.ends_ms == {"s1": 61_500, "s3": 182_000}
    assert summary.splits_ms == {"s1": 61_500}


@pytest.mark.parametrize(
    ("ready_s", "missed"),
    [({"p1": 119.0}, ()), ({"p1": 120.0}, ()), ({"p1": 120.5}, ("p1",)), ({}, ("p1",))],
    ids=["before", "just in time", "after", "never"],
)
def test_a_process_is_missed_that_was_not_ready_when_its_segment_began(ready_s, missed):
    events = make_events({"s1": 60, "s2": 120, "s3": 180}, ready_s=ready_s, total_s=180)
    assert summary_of(events).missed == missed


def test_a_process_is_not_missed_before_it_is_needed():
    assert summary_of(make_events({"s1": 60})).missed == ()


def test_incidents_stand_in_the_order_they_happened():
    log = make_events({"s1": 60})
    spill = make_event("i1", "incident", seq=11, at_s=70, what="spill")
    words = make_event("i2", "incident", seq=12, at_s=80, what="forgot_words")
    summary = summary_of([*log, words, spill])
    assert summary.incidents == ("spill", "forgot_words")
    assert summary.incidents_ms == (70_000, 80_000)


@given(st.integers(0, 10_000))
def test_a_split_runs_from_the_end_of_the_segment_before_it(seed):
    summary = summarise(fold(events_from(random_log(seed)), OUTLINE), OUTLINE)
    before = dict(zip(OUTLINE.segment_ids[1:], OUTLINE.segment_ids, strict=False))
    for key, split_ms in summary.splits_ms.items():
        before_ms = summary.ends_ms[before[key]] if key in before else 0
        assert before_ms + split_ms == summary.ends_ms[key]


@pytest.mark.parametrize(
    ("changes", "counts"),
    [
        ({}, True),
        ({"excluded": True}, False),
        ({"status": "abandoned"}, False),
        ({"status": "running", "total_ms": None}, False),
        ({"status": "waiting", "total_ms": None}, False),
    ],
    ids=["finished", "excluded", "abandoned", "running", "waiting"],
)
def test_only_a_finished_run_that_is_not_excluded_counts(changes, counts):
    assert replace(make_line(), **changes).counts is counts
