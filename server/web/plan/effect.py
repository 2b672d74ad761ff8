"""What it would bring to plan a segment as it is run, or to run it as it is planned."""

from dataclasses import dataclass

from server.domain.base.durations import format_clock
from server.domain.risk.saying import in_a_hundred
from server.domain.routine.edits import part_of
from server.domain.whole.tryouts import all_tried, lengthen
from server.web.plan.outlook import Outlook


@dataclass(frozen=True)
class Effect:
    """Chances to finish inside the slot: with the segment planned for what it takes, and with it
    done in the time it is planned for."""

    takes: str
    planned: str
    as_run: str
    as_planned: str
    stays: bool


def effect_of(outlook: Outlook, segment_id: str) -> Effect:
    """Both chances, over all slots. Raises NotFound."""
    routine = outlook.routine
    planned_s = part_of(routine.segments, segment_id).duration.likely_s
    takes_s = round(outlook.expected_s[segment_id])
    longer = lengthen(routine, segment_id, takes_s - planned_s)
    as_run = outlook.of(outlook.changed(all_tried(routine, [longer])))
    quicker_s = max(outlook.expected_s[segment_id] - planned_s, 0.0)
    as_planned = outlook.of(outlook.tried([outlook.shortened(routine, segment_id, quicker_s)]))
    now, then = (in_a_hundred(each.chance_inside) for each in (outlook.full, as_run))
    return Effect(
        takes=format_clock(takes_s),
        planned=format_clock(planned_s),
        as_run=then,
        as_planned=in_a_hundred(as_planned.chance_inside),
        stays=now == then,
    )
