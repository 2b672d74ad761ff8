"""A part of a routine as a plan of its own."""

from dataclasses import replace

import pytest

from server.domain.base.errors import InvalidInput
from server.domain.routine.part import plan_of_part
from server.domain.routine.plan import Plan, RoutinePart
from server.domain.routine.rules import TimeCall
from tests.factories import RULES, make_process, make_routine, make_segment

CALLS = tuple(TimeCall(at_s, f"at {at_s}") for at_s in (60, 100, 180, 300))
SHEET = replace(RULES, time_calls=CALLS, grace_s=2, cutoff_s=660)
ROUTINE = make_routine(
    segments=("s1", "s2", "s3", make_segment("s4", after_segment_ids=("s1", "s3"))),
    processes=(
        make_process(process_id="p1", after="s1", before="s3"),
        make_process(process_id="p2", after="s2", before="s4"),
    ),
)
PLAN = Plan(ROUTINE, SHEET)


def test_a_part_holds_its_segments_under_their_ids_and_knows_where_it_stood():
    found = plan_of_part(PLAN, "s2", "s3")
    assert [each.id for each in found.routine.segments] == ["s2", "s3"]
    assert found.part == RoutinePart(2, 3, 4)
    assert found.routine.id == ROUTINE.id


def test_a_part_is_measured_against_its_own_time_and_hears_its_own_calls():
    rules = plan_of_part(PLAN, "s2", "s3").rules
    assert (rules.slot_s, rules.target_s, rules.cutoff_s, rules.penalty(999)) == (120, 120, None, 0)
    assert [(call.at_s, call.words) for call in rules.time_calls] == [
        (40, "at 100"), (120, "at 180"),
    ]  # fmt: skip


def test_only_a_process_that_starts_in_the_part_goes_along():
    found = plan_of_part(PLAN, "s2", "s3").routine
    (process,) = found.processes
    assert (process.id, process.after_segment_id, process.before_segment_id) == ("p2", "s2", None)


def test_what_waited_for_a_segment_outside_waits_no_more():
    (segment,) = plan_of_part(PLAN, "s4", "s4").routine.segments
    assert segment.after_segment_ids == ()


def test_the_whole_routine_is_no_part():
    assert plan_of_part(PLAN, "s1", "s4") == PLAN


@pytest.mark.parametrize(
    ("ends", "field"), [(("s3", "s2"), "to"), (("gone", "s2"), "from"), (("s1", ""), "to")]
)
def test_a_part_that_cannot_be_is_refused_beside_its_field(ends, field):
    with pytest.raises(InvalidInput) as refused:
        plan_of_part(PLAN, *ends)
    assert [fault.field for fault in refused.value.faults] == [field]


def test_a_part_without_durations_has_a_slot_all_the_same():
    plan = Plan(make_routine(segments=(make_segment("a", 0), make_segment("b", 0))), RULES)
    assert plan_of_part(plan, "a", "a").rules.slot_s > 0
