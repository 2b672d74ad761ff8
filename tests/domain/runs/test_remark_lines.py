import json
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from server.domain.runs.remark_lines import remarks_by_segment, segment_at
from server.domain.runs.run import Outline, fold
from server.domain.runs.summary import summarise
from tests.factories import make_event, make_events
from tests.table import table

SEGMENTS = ("s1", "s2", "s3")
SEGMENT_CASES = Path(__file__).parents[2] / "segment_cases.json"
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


def test_remarks_stand_in_the_segment_of_their_time_in_order_of_time():
    assert grouped(
        watched("n2", "note", 100, text="second"),
        watched("n1", "note", 70, text="first"),
        watched("c1", "claim", 10, claim="pear/flavour", verdict="heard"),
    ) == [(0, ["ripe pear"]), (1, ["first", "second"])]


def test_what_a_page_that_was_cut_off_took_for_the_segment_is_not_asked():
    while_away = watched("n1", "note", 130, text="Hands", segment_id="s1")
    assert grouped(while_away) == [(2, ["Hands"])]


def test_what_a_watcher_saw_go_wrong_counts_in_the_segment_of_its_time():
    seen = watched("i1", "incident", 130, what="spill", segment_id="s1")
    own = make_event("i2", "incident", seq=2, at_s=70, what="spill", segment_id="s1")
    outline = Outline(SEGMENTS)
    state = fold((*make_events({"s1": 60, "s2": 120}, total_s=180), seen, own), outline)
    assert summarise(state, outline).incident_segments == ("s1", "s3")


@table("case", json.loads(SEGMENT_CASES.read_text())["cases"], ids=lambda case: case["name"])
def test_the_segment_under_way_follows_from_the_marks_alone(case):
    assert segment_at(case["elapsed_ms"], case["ends_ms"], case["total_ms"]) == case["place"]


def test_a_call_stands_where_the_clock_was():
    calls = [watched(f"c{at}", "call", at, text=f"at {at}") for at in (0, 59.999, 60, 179)]
    assert grouped(*calls) == [(0, ["at 0", "at 59.999"]), (1, ["at 60"]), (2, ["at 179"])]


def test_where_no_segment_can_be_told_it_is_the_run_as_a_whole():
    call = watched("c1", "call", 90, text="half way")
    assert grouped(call, ends_s={"s2": 120}) == [(None, ["half way"])]
    assert grouped(watched("c2", "call", 180, text="at the end")) == [(None, ["at the end"])]


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
