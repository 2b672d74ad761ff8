"""Accepted boundaries as a run: its fold gives their times, and lies beside a hand's."""

from itertools import count

import pytest

from server.domain.base.errors import InvalidInput
from server.domain.heard.aligning import align
from server.domain.heard.hearing import HeardClaim
from server.domain.heard.marks import (
    Accepted,
    accepted_as_found,
    claim_events,
    run_events,
    side_by_side,
    verdicts_as_found,
)
from server.domain.runs.run import fold, outline_of
from tests.domain.heard.said import BUILD, CLOSE, OPEN, SCRIPT, talk
from tests.factories import NOW_MS, make_events, make_routine

ROUTINE = make_routine(segments=("a", "b", "c", "d"))


def new_ids():
    numbers = count(1)
    return lambda: f"h{next(numbers)}"


def folded(*starts, start_s=5.0, finish_s=65.0, **more):
    accepted = Accepted(start_s, finish_s, starts, **more)
    events = run_events(ROUTINE, accepted, NOW_MS, new_ids())
    assert {event.cause for event in events} == {"heard"}
    return fold(events, outline_of(ROUTINE))


def claim(hearing="heard", **more):
    return HeardClaim(
        "d1:descriptor:plum", "plum", "descriptor", "d1", "b", hearing, "", "plum", 25.0, 25.5,
        **{"is_ticked": True, **more},
    )  # fmt: skip


def test_the_run_has_the_times_that_were_accepted():
    run = folded(("a", 5.0), ("b", 20.0), ("c", 31.5), ("d", 50.0))
    assert run.status == "finished"
    assert run.splits_ms == (15_000, 11_500, 18_500, 15_000)
    assert run.total_ms == 60_000


def test_a_segment_left_out_gets_no_split_of_zero():
    run = folded(("a", 5.0), ("b", 20.0), ("d", 50.0))
    assert run.splits_ms == (15_000, 30_000, None, None)


def test_at_a_guess_nothing_is_marked():
    starts = (("a", 5.0), ("b", 20.0), ("c", 31.5), ("d", 50.0))
    assert folded(*starts, unsure=frozenset({"c"})).splits_ms == (15_000, None, None, 15_000)
    assert folded(*starts, unsure=frozenset({"d"})).splits_ms == (15_000, 11_500, None, None)


def test_half_a_run_is_offered_as_one_that_was_broken_off():
    half = accepted_as_found(align(talk(f"{OPEN} {{7}} {BUILD}"), SCRIPT))
    assert half.broken_off
    assert half.unsure == {"hands"}


def test_a_last_segment_left_out_gets_no_split_of_zero():
    assert folded(("a", 5.0), ("b", 20.0), ("c", 31.5)).splits_ms[3] is None


def test_segments_in_another_order_mark_only_what_is_certain():
    run = folded(("a", 5.0), ("c", 20.0), ("b", 30.0), ("d", 50.0))
    assert run.splits_ms == (15_000, None, None, 15_000)


def test_half_a_run_is_broken_off():
    run = folded(("a", 5.0), ("b", 20.0), finish_s=30.0, broken_off=True)
    assert (run.status, run.splits_ms[0], run.total_ms) == ("abandoned", 15_000, 25_000)


@pytest.mark.parametrize(
    ("accepted", "field"),
    [
        (Accepted(5.0, 5.0, ()), "finish"),
        (Accepted(-1.0, 5.0, ()), "finish"),
        (Accepted(0.0, float("nan"), ()), "finish"),
        (Accepted(0.0, 9000.0, ()), "finish"),
        (Accepted(5.0, 65.0, (("a", 4.0),)), "start-a"),
        (Accepted(5.0, 65.0, (("a", float("inf")),)), "start-a"),
        (Accepted(5.0, 65.0, (("other", 6.0),)), "start-other"),
    ],
)
def test_times_that_cannot_be_are_refused_at_their_field(accepted, field):
    with pytest.raises(InvalidInput) as error:
        run_events(ROUTINE, accepted, NOW_MS, new_ids())
    assert [fault.field for fault in error.value.faults] == [field]


def test_what_is_offered_leaves_out_segments_that_were_left_out():
    routine = make_routine(segments=tuple(each.id for each in SCRIPT))
    found = align(talk(f"{OPEN} {{7}} {BUILD} {{1}} {CLOSE}"), SCRIPT)
    offered = accepted_as_found(found)
    assert "taste" not in dict(offered.starts_s)
    assert run_events(routine, offered, NOW_MS, new_ids())


def test_heard_claims_are_ticks_of_any_run_at_their_time():
    hand = make_events({"a": 15.0, "b": 26.0}, total_s=60.0)
    ticks = claim_events(((claim(), "heard"),), 5.0, NOW_MS, new_ids(), first_seq=100)
    run = fold([*hand, *ticks], outline_of(ROUTINE))
    assert [(each.claim, each.verdict, each.elapsed_ms) for each in run.claims] == [
        ("d1:descriptor:plum", "heard", 20_000)
    ]
    assert run.splits_ms[:2] == (15_000, 11_000)


def test_numbers_have_no_ticks():
    assert claim_events(((claim(is_ticked=False), "heard"),), 5.0, NOW_MS, new_ids()) == ()


def test_what_is_to_be_listened_to_waits_for_a_person():
    found = [claim("heard"), claim("listen"), claim("not heard")]
    assert [verdict for _, verdict in verdicts_as_found(found)] == ["heard", "missed"]


def test_two_versions_of_a_run_lie_side_by_side():
    hand = fold(make_events({"a": 15.0, "b": 26.0}, total_s=60.0), outline_of(ROUTINE))
    heard = folded(("a", 5.0), ("b", 20.4), ("c", 31.0), ("d", 50.0))
    rows = side_by_side(ROUTINE, hand, heard)
    assert [row.apart_ms for row in rows] == [400, 0, None, None]
    assert (rows[1].hand_split_ms, rows[1].heard_split_ms) == (11_000, 10_600)
