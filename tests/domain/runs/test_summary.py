from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.domain.runs.run import fold, outline_of
from server.domain.runs.summary import summarise
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


def test_what_was_ticked_and_how_long_a_process_took_is_kept():
    log = [
        *make_events({"s1": 60}, ready_s={"p1": 95}),
        make_event("i1", "incident", seq=11, at_s=70, what="spill", segment_id="s2"),
        make_event("c1", "claim", seq=12, at_s=80, claim="pear", verdict="heard"),
    ]
    summary = summary_of(log)
    assert (summary.process_ms, summary.incident_segments) == ({"p1": 35_000}, ("s2",))
    assert summary.claims == {"pear": "heard"}


def test_an_incident_keeps_its_segment_and_a_process_its_time():
    struck = make_event("i1", "incident", seq=9, at_s=70, what="spill", segment_id="s2")
    lost = make_event("i2", "incident", seq=10, at_s=71, what="spill")
    marks = make_events({"s1": 60}, ready_s={"p1": 119.5})
    summary = summary_of((*marks, struck, lost))
    assert summary.incident_segments == ("s2", "")
    assert summary.process_ms == {"p1": 59_500}


def test_a_process_without_a_ready_mark_has_no_time():
    assert summary_of(make_events({"s1": 60})).process_ms == {}


def test_a_process_that_took_more_than_a_day_has_no_time():
    marks = make_events({"s1": 60}, ready_s={"p1": 60 + 86_401})
    assert summary_of(marks).process_ms == {}


def test_a_process_that_began_late_in_a_long_run_has_its_time():
    began_s = 13 * 3600
    marks = make_events({"s1": began_s}, ready_s={"p1": began_s + 60})
    assert summary_of(marks).process_ms == {"p1": 60_000}


def test_a_run_of_more_than_a_day_does_not_count():
    assert make_line(86_400).counts
    assert not make_line(86_401).counts
