"""Outside check: the plan laid out by segment (`server.domain.routine.plan`) has the same times."""

import pytest
from hypothesis import given

from server.domain.base.errors import InvalidInput
from server.domain.risk.activities import Fallback, ProcessNeed
from server.domain.risk.parts import KnownBeside, network_of, parts_of
from server.domain.risk.times import schedule
from server.domain.routine.plan import layout
from server.domain.routine.routine import Process, Routine, Segment, Spread
from tests.domain.risk.plans import certain, parts, process, segment
from tests.domain.strategies import routines


def planned(some):
    return schedule(network_of(some), some.likely_s)


def starts(some):
    times = planned(some).times
    return {each.id: times[each.id].start_s for each in some.segments}


@given(routines())
def test_segments_not_marked_otherwise_stand_where_the_plan_has_them(routine):
    some = parts_of(routine)
    without = parts(*some.segments)
    placed = layout(routine)
    assert starts(without) == pytest.approx({p.segment.id: p.start_s for p in placed.segments})
    assert planned(without).finish_s == pytest.approx(placed.total_s)


@given(routines())
def test_a_late_process_makes_the_plan_longer_and_one_in_time_does_not(routine):
    placed = layout(routine)
    late = any((each.margin_s or 0) < -1e-6 for each in placed.processes)
    finish_s = planned(parts_of(routine)).finish_s
    assert (finish_s > placed.total_s + 1e-6) == late or finish_s == pytest.approx(placed.total_s)
    assert finish_s >= placed.total_s - 1e-6


def test_segments_in_different_lanes_still_follow_one_another():
    some = parts(segment("a", lane="hands"), segment("b", lane="voice"))
    assert starts(some) == {"a": 0, "b": 10}


def test_a_segment_alongside_starts_with_the_one_before_it():
    some = parts(
        segment("a"),
        segment("b", 20, lane="hands"),
        segment("c", 15, lane="voice", alongside=True),
        segment("d"),
    )
    assert starts(some) == {"a": 0, "b": 10, "c": 10, "d": 30}


def test_talk_runs_on_while_the_hands_do_the_next_thing():
    some = parts(
        segment("a", 10, lane="hands"),
        segment("b", 30, lane="voice", alongside=True),
        segment("c", 10, lane="hands", alongside=True),
        segment("d", 5),
    )
    assert starts(some) == {"a": 0, "b": 0, "c": 10, "d": 30}


def test_one_pair_of_hands_does_one_thing_after_another():
    some = parts(segment("a", lane="hands"), segment("b", lane="hands", alongside=True))
    assert starts(some) == {"a": 0, "b": 10}


def test_talk_alongside_waits_for_what_needs_hands_and_voice():
    some = parts(
        segment("a", 10, lane="hands"),
        segment("b", 10),
        segment("c", lane="voice", alongside=True),
    )
    assert starts(some) == {"a": 0, "b": 10, "c": 20}


def test_a_link_between_lanes_is_waited_for():
    some = parts(
        segment("a", 10, lane="hands"),
        segment("b", 5, lane="voice", alongside=True),
        segment("c", 20, lane="hands", alongside=True),
        segment("d", 5, lane="voice", alongside=True, after_ids=("c",)),
    )
    assert starts(some)["d"] == 30


def test_what_a_helper_does_is_not_waited_for_unless_it_is_linked():
    helped = segment("b", 30, lane="hands", helper=True)
    free = parts(segment("a"), helped, segment("c"), segment("d"))
    linked = parts(segment("a"), helped, segment("c"), segment("d", after_ids=("b",)))
    assert starts(free) == {"a": 0, "b": 10, "c": 10, "d": 20}
    assert starts(linked)["d"] == 40


def test_the_finish_waits_for_the_helper_too():
    some = parts(segment("a"), segment("b", 30, lane="hands", helper=True), segment("c"))
    assert planned(some).finish_s == 40


@pytest.mark.parametrize(
    ("lane", "voice_s", "expected_s"),
    [("both", None, 40), ("both", 30, 40), ("both", 55, 55), ("voice", 55, 55), ("hands", 55, 40)],
)
def test_a_segment_takes_the_longer_of_what_its_lanes_need(lane, voice_s, expected_s):
    some = segment("a", planned=certain(40), lane=lane, voice_s=voice_s)
    assert some.duration.likely_s == expected_s


def test_what_is_known_beside_the_routine_reaches_the_parts():
    routine = Routine(
        "r", "Mine", "x",
        segments=(Segment("a", "Fill", Spread(10)), Segment("b", "Pour", Spread(20))),
        processes=(Process("p", "Drip", Spread(30), "a", "b"),),
    )  # fmt: skip
    beside = KnownBeside(
        voice_s={"b": 25.0},
        process_times={"p": certain(50)},
        fallbacks={"p": Fallback(patience_s=5)},
    )
    some = parts_of(routine, beside)
    assert some.likely_s == {"a": 10, "b": 25, "p": 50}
    pour = next(each for each in network_of(some).activities if each.id == "b")
    assert pour.needs == (ProcessNeed("p", Fallback(patience_s=5)),)


def test_a_process_that_starts_after_no_segment_is_left_out():
    some = parts(segment("a"), segment("c"), processes=[process(after=None)])
    assert [each.id for each in network_of(some).activities] == ["a", "c"]


def test_a_process_that_nobody_needs_does_not_hold_the_finish():
    some = parts(segment("a"), segment("c"), processes=[process(500, before=None)])
    assert planned(some).finish_s == 20


def test_a_process_needed_before_it_can_start_is_refused_by_name():
    backwards = parts(segment("c"), segment("a"), processes=[process(after="a", before="c")])
    with pytest.raises(InvalidInput, match="“Drip”"):
        network_of(backwards)


def test_a_link_to_a_later_segment_is_a_circle():
    with pytest.raises(InvalidInput, match=r"“a” → “b”|“b” → “a”"):
        network_of(parts(segment("a", after_ids=("b",)), segment("b")))


def test_a_hundred_segments_are_one_chain():
    some = parts(*(segment(f"s{n}", 6, lane=("hands", "voice")[n % 2]) for n in range(100)))
    plan = planned(some)
    assert plan.finish_s == 600
    assert all(times.critical for times in plan.times.values())


def routine_with(**changes):
    segments = (Segment("a", "A", Spread(10)), Segment("b", "B", Spread(10)))
    process = Process("p", "Drip", Spread(60), "a", "b", **changes)
    return Routine("r", "Mine", "x", segments=segments, processes=(process,))


def test_words_alone_say_that_there_is_a_fallback_and_nothing_that_there_is_none():
    (told,) = parts_of(routine_with(fallback="The reserve.")).processes
    (silent,) = parts_of(routine_with()).processes
    assert (told.fallback, silent.fallback) == (Fallback(), None)


def test_the_times_of_a_fallback_come_from_the_routine():
    (some,) = parts_of(routine_with(patience_s=5, fallback_by_s=450, fallback_cost_s=8)).processes
    assert some.fallback == Fallback(5, 450, 8)
