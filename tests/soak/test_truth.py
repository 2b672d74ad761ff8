"""The judge of the soak: what it must find, it finds."""

from dataclasses import replace

import pytest

from server.domain.runs.run import fold
from tests.domain.run_logs import outline_from
from tests.factories import make_event
from tests.soak.device import Press
from tests.soak.truth import Truth, judge, off_by

PROCESS = {"id": "p", "after_segment_id": "a", "before_segment_id": "b"}
OUTLINE = outline_from({"segment_ids": ["a", "b"], "processes": [PROCESS]})


@pytest.fixture
def truth():
    """Started at 10 s of the driver's clock, a mark each second, each press 10 ms long."""
    made = Truth(["a", "b"], PROCESS)
    for number, what in enumerate(["next", "next", "incident-1", "undo", "next"]):
        made.take(Press(what, 10.0 + number, 10.01 + number))
    return made


def events_of(truth):
    """The log of a device that did everything right."""
    events = []
    for seq, mark in enumerate(truth.log):
        names = {"done": "segment_id", "incident": "what", "ready": "process_id"}
        more = {names[mark.kind]: mark.names} if mark.kind in names else {}
        if mark.kind == "retract":
            more = {"target_id": events[-1].id}
        at_s = mark.press.from_s - 10 + 0.005
        events.append(make_event(f"e{seq}", mark.kind, seq=seq, at_s=at_s, **more))
    return events


def faults(truth, events):
    return judge(truth, events, fold(events, OUTLINE)).faults


def test_a_run_told_as_it_was_has_no_fault(truth):
    verdict = judge(truth, events_of(truth), fold(events_of(truth), OUTLINE))
    assert (verdict.faults, verdict.marks, verdict.worst_ms) == ((), 5, 0.0)
    assert verdict.press_ms == pytest.approx([10.0] * 5)


@pytest.mark.parametrize("lost", range(5))
def test_a_lost_mark_is_found(truth, lost):
    events = events_of(truth)
    assert faults(truth, events[:lost] + events[lost + 1 :])


def test_a_doubled_mark_is_found(truth):
    events = events_of(truth)
    assert faults(truth, [*events, replace(events[1], id="again")])


def test_marks_in_another_order_are_found(truth):
    first, second, third, *rest = events_of(truth)
    swapped = [first, replace(third, seq=1), replace(second, seq=2), *rest]
    assert "the driver did" in faults(truth, swapped)[0]


def test_a_time_that_is_more_than_fifty_ms_off_is_found(truth):
    events = events_of(truth)
    late = [*events[:4], replace(events[4], mono_ms=events[4].mono_ms + 70)]
    assert faults(truth, late)[0].endswith("is 60 ms off")


def test_a_time_within_the_press_is_not_off():
    start, press = Press("next", 10.0, 10.01), Press("next", 12.0, 12.02)
    assert off_by(press, start, 2000.0) == 0.0
    assert off_by(press, start, 2030.0) == pytest.approx(10.0)
    assert off_by(press, start, 1980.0) == pytest.approx(10.0)
