"""Practising a part: the plan of some segments of a routine, laid out as if they were all of it."""

from dataclasses import replace

from server.domain.base.errors import InvalidInput
from server.domain.routine.edits import remove_segment
from server.domain.routine.plan import Part, Plan, layout, place_segments
from server.domain.routine.routine import Routine
from server.domain.routine.rules import RuleSheet

SHORTEST_SLOT_S = 1.0
"""A slot is longer than nothing, also where no segment has a duration."""


def plan_of_part(plan: Plan, from_id: str, to_id: str) -> Plan:
    """The plan of the segments from one to another, both included, on a clock of their own.

    A process that starts within it goes along; it is measured against its own planned time, and
    hears the time calls that fall into it. The whole routine is no part: its plan stays what it
    is. Raises InvalidInput for a segment that is not there and for a part that ends before it
    begins.
    """
    routine = plan.routine
    ids = [segment.id for segment in routine.segments]
    first, last = _place(ids, from_id, "from"), _place(ids, to_id, "to")
    if last < first:
        raise InvalidInput.of("to", "The part ends before it begins: choose a later segment.")
    if last - first + 1 == len(ids):
        return plan
    part = Part(first + 1, last + 1, len(ids))
    cut = _cut(routine, frozenset(ids[first : last + 1]))
    return Plan(cut, _rules(plan, cut, from_id), part)


def _place(ids: list[str], segment_id: str, field: str) -> int:
    if segment_id not in ids:
        raise InvalidInput.of(field, "That segment is no longer in the plan: choose another.")
    return ids.index(segment_id)


def _cut(routine: Routine, kept: frozenset[str]) -> Routine:
    begun = {
        process.id
        for process in routine.processes
        if process.after_segment_id is None or process.after_segment_id in kept
    }
    for segment in routine.segments:
        if segment.id not in kept:
            routine = remove_segment(routine, segment.id)
    processes = tuple(process for process in routine.processes if process.id in begun)
    return replace(routine, processes=processes)


def _rules(plan: Plan, cut: Routine, from_id: str) -> RuleSheet:
    starts_s = {each.segment.id: each.start_s for each in place_segments(plan.routine.segments)}
    lasts_s = max(SHORTEST_SLOT_S, layout(cut).total_s)
    calls = [replace(call, at_s=call.at_s - starts_s[from_id])
             for call in plan.rules.time_calls if call.at_s > starts_s[from_id]]  # fmt: skip
    return replace(
        plan.rules,
        slot_s=lasts_s,
        target_s=lasts_s,
        time_calls=tuple(call for call in calls if call.at_s <= lasts_s),
        grace_s=0.0,
        penalty_per_s=0.0,
        cutoff_s=None,
    )
