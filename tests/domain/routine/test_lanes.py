"""Outside check: the general network of `server.domain.risk` starts segments where lanes do."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.domain.base.errors import InvalidInput
from server.domain.risk.parts import network_of, parts_of
from server.domain.risk.times import schedule
from server.domain.routine.lanes import Waits, waits_of
from server.domain.routine.plan import layout, mark_steps
from tests.domain.strategies import routines
from tests.factories import make_process, make_routine, make_segment


def starts(*segments):
    routine = make_routine(segments=segments)
    return {each.segment.id: each.start_s for each in layout(routine).segments}


@st.composite
def woven(draw):
    """A routine whose segments run alongside, are done by a helper, or are linked back."""
    routine = draw(routines(max_segments=6))
    segments = []
    for segment in routine.segments:
        earlier = [each.id for each in segments]
        helper = segment.lane != "voice" and draw(st.booleans())
        links = draw(st.lists(st.sampled_from(earlier), max_size=2)) if earlier else []
        segments.append(
            replace(
                segment,
                alongside=draw(st.booleans()),
                helper=helper,
                after_segment_ids=tuple(dict.fromkeys(links)),
            )
        )
    return replace(routine, segments=tuple(segments), processes=())


@given(woven())
def test_the_plan_and_the_network_of_the_risk_agree_on_every_start(routine):
    times = schedule(network_of(parts_of(routine)), parts_of(routine).likely_s)
    placed = layout(routine)
    assert {each.segment.id: each.start_s for each in placed.segments} == pytest.approx(
        {each.id: times.times[each.id].start_s for each in routine.segments}
    )
    assert placed.total_s == pytest.approx(times.finish_s)


def test_talk_alongside_starts_with_the_hands_and_what_follows_waits_for_both():
    times = starts(
        make_segment("pour", 30, lane="hands"),
        make_segment("tell", 40, lane="voice", alongside=True),
        make_segment("serve", 20),
    )
    assert times == {"pour": 0, "tell": 0, "serve": 40}


def test_nobody_waits_for_a_helper_but_who_is_linked():
    times = starts(
        make_segment("greet", 10),
        make_segment("set", 50, lane="hands", helper=True),
        make_segment("brew", 20),
        make_segment("serve", 20, after_segment_ids=("set",)),
    )
    assert times == {"greet": 0, "set": 10, "brew": 10, "serve": 60}


def test_what_a_helper_does_may_wait_for_something_further_down_the_list():
    times = starts(
        make_segment("wash", 10, lane="hands", helper=True, after_segment_ids=("serve",)),
        make_segment("serve", 20),
    )
    assert times == {"wash": 20, "serve": 0}


def test_waiting_is_told_by_the_lane_and_by_the_links():
    waits = waits_of(
        (
            make_segment("a", lane="hands"),
            make_segment("b", lane="voice", alongside=True, after_segment_ids=("a",)),
        )
    )
    assert waits == {"a": Waits(), "b": Waits(("a",), ("a",))}


def test_links_that_close_a_circle_are_refused_with_their_members():
    with pytest.raises(InvalidInput) as refused:
        make_routine(segments=(make_segment("a", after_segment_ids=("b",)), make_segment("b")))
    (fault,) = refused.value.faults
    assert fault.field == "after"
    assert "“Segment a” → “Segment b” → “Segment a”" in fault.message


def test_a_circle_through_a_process_and_a_link_names_both():
    helped = make_segment("b", lane="hands", helper=True, after_segment_ids=("c",))
    with pytest.raises(InvalidInput) as refused:
        make_routine(segments=("a", helped, "c"), processes=(make_process(after="b", before="c"),))
    assert all(name in str(refused.value) for name in ("“Drip”", "“Segment b”", "“Segment c”"))


@pytest.mark.parametrize(
    ("changes", "field"),
    [({"after_segment_ids": ("gone",)}, "after"), ({"lane": "voice", "helper": True}, "helper")],
)
def test_a_link_to_nothing_and_a_helper_who_talks_are_refused(changes, field):
    with pytest.raises(InvalidInput) as refused:
        make_routine(segments=(make_segment("a", **changes),))
    assert [fault.field for fault in refused.value.faults] == [field]


def test_a_mark_alongside_comes_when_all_before_it_is_over_as_well():
    segments = (
        make_segment("pour", 30, lane="hands"),
        make_segment("tell", 40, lane="voice", alongside=True),
        make_segment("set", 90, lane="hands", helper=True),
        make_segment("serve", 20),
    )
    assert mark_steps(segments) == {"pour": 30, "tell": 10, "set": 0, "serve": 20}


@given(routines())
def test_where_nothing_runs_alongside_a_mark_comes_after_the_segments_own_duration(routine):
    durations = {each.id: each.duration.likely_s for each in routine.segments}
    assert mark_steps(routine.segments) == pytest.approx(durations)


def test_a_mark_of_what_was_over_before_comes_with_the_mark_before_it():
    segments = (
        make_segment("pour", 30, lane="hands"),
        make_segment("tell", 20, lane="voice", alongside=True),
        make_segment("serve", 15),
    )
    assert mark_steps(segments) == {"pour": 30, "tell": 0, "serve": 15}
