from hypothesis import given
from hypothesis import strategies as st

from server.domain.remark_lines import remarks_by_segment, segment_at
from server.domain.run import Outline, fold
from tests.factories import make_event, make_events

SEGMENTS = ("s1", "s2", "s3")
LABELS = {"pear/flavour": "ripe pear"}


def watched(event_id, kind, at_s, who="Ada", **more):
    return make_event(event_id, kind, seq=100, at_ms=at_s * 1000, who=who, **more)


def grouped(*remarks, ends_s=None, total_s=180):
    log = make_events({"s1": 60, "s2": 120} if ends_s is None else ends_s, total_s=total_s)
    state = fold((*log, *remarks), Outline(SEGMENTS))
    return [
        (group.place, [line.words for line in group.lines])
        for group in remarks_by_segment(state, SEGMENTS, LABELS)
    ]


def test_remarks_stand_in_the_segment_they_name_in_order_of_time():
    assert grouped(
        watched("n2", "note", 100, text="second", segment_id="s2"),
        watched("n1", "note", 70, text="first", segment_id="s2"),
        watched("c1", "claim", 10, claim="pear/flavour", verdict="heard", segment_id="s1"),
    ) == [(0, ["ripe pear"]), (1, ["first", "second"])]


def test_a_remark_may_name_a_segment_that_was_over_by_then():
    late = watched("c1", "claim", 130, claim="pear/flavour", verdict="heard", segment_id="s1")
    assert grouped(late) == [(0, ["ripe pear"])]


def test_a_call_stands_where_the_clock_was():
    calls = [watched(f"c{at}", "call", at, text=f"at {at}") for at in (0, 59.999, 60, 179)]
    assert grouped(*calls) == [(0, ["at 0", "at 59.999"]), (1, ["at 60"]), (2, ["at 179"])]


def test_where_no_segment_can_be_told_it_is_the_run_as_a_whole():
    call = watched("c1", "call", 90, text="half way")
    assert grouped(call, ends_s={"s2": 120}) == [(None, ["half way"])]
    assert grouped(watched("c2", "call", 500, text="late")) == [(None, ["late"])]


def test_a_claim_without_words_is_shown_by_its_key():
    claim = watched("c1", "claim", 10, claim="plum/flavour", verdict="wrong", segment_id="s1")
    assert grouped(claim) == [(0, ["plum/flavour"])]


def test_the_presenters_own_notes_are_not_among_them():
    assert grouped(make_event("n1", "note", seq=50, at_s=30, text="mine")) == []


@given(st.lists(st.integers(1, 100_000), min_size=1, max_size=8), st.integers(0, 10**6))
def test_at_any_moment_of_a_fully_marked_run_one_segment_is_under_way(splits, elapsed_ms):
    ends, clock = [], 0
    for split in splits:
        clock += split
        ends.append(clock)
    place = segment_at(elapsed_ms, ends)
    if place is None:
        assert elapsed_ms >= ends[-1]
    else:
        assert (0, *ends)[place] <= elapsed_ms < ends[place]
