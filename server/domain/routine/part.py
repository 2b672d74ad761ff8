"""Practising a part: the plan of some segments of a routine, laid out as if they were all of it."""

from dataclasses import replace

from server.domain.base.errors import InvalidInput
from server.domain.routine.edits import remove_segment
from server.domain.routine.plan import PHASES, Plan, RoutinePart, layout, place_segments
from server.domain.routine.preparing import Phase
from server.domain.routine.routine import Routine, Segment, Spread
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
    part = RoutinePart(first + 1, last + 1, len(ids))
    cut = _cut(routine, frozenset(ids[first : last + 1]))
    return Plan(cut, _rules(plan, cut, from_id), part)


def plan_of_phase(plan: Plan, phase: Phase) -> Plan:
    """The plan of setting up, or of clearing away: on a clock of its own, outside the slot.

    Its slot is the time that the rule sheet allows; where it names none, what is planned. Raises
    InvalidInput where nothing is planned for it.
    """
    routine, rules = plan.routine, plan.rules
    chores = routine.preparation.chores(phase)
    if not chores:
        raise InvalidInput.of("phase", f"Say first what {PHASES[phase].lower()} consists of.")
    segments = tuple(
        Segment(each.id, each.name, Spread(each.planned_s), lane="hands") for each in chores
    )
    bare = Routine(
        routine.id, routine.name, routine.rule_sheet_id, routine.presenter, routine.language,
        segments=segments,
    )  # fmt: skip
    planned_s = sum(each.planned_s for each in chores)
    allowed_s = rules.allowed_s(phase) or max(SHORTEST_SLOT_S, planned_s)
    count = len(segments)
    return Plan(bare, _outside(rules, allowed_s), RoutinePart(1, count, count, phase))


def _outside(rules: RuleSheet, lasts_s: float) -> RuleSheet:
    return replace(
        rules,
        slot_s=lasts_s,
        target_s=lasts_s,
        time_calls=(),
        grace_s=0.0,
        penalty_per_s=0.0,
        cutoff_s=None,
    )


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
    heard = tuple(call for call in calls if call.at_s <= lasts_s)
    return replace(_outside(plan.rules, lasts_s), time_calls=heard)
