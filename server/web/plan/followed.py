"""What follows a change of the plan before the page is drawn anew: places on the tape, figures."""

from dataclasses import dataclass
from typing import Any

from server.domain.base.durations import format_clock
from server.domain.risk.saying import inside_words
from server.domain.routine.edits import part_of
from server.domain.routine.plan import Layout, layout
from server.domain.routine.routine import Routine
from server.web.plan.chances import chances_of
from server.web.plan.outlook import Outlook
from server.web.plan.tape import tape_of


@dataclass(frozen=True)
class Followed:
    """Where everything lies on the tape, what the figures say, and a sentence for both."""

    places: dict[str, list[float]]
    figures: dict[str, str]
    seconds: float
    told: str

    @property
    def values(self) -> dict[str, Any]:
        """As the page reads it."""
        return {"places": self.places, "figures": self.figures, "seconds": self.seconds,
                "told": self.told}  # fmt: skip


def followed(outlook: Outlook, changed: Routine, segment_id: str, span_s: float) -> Followed:
    """The plan as changed, drawn on a scale and judged quickly. Raises NotFound, InvalidInput."""
    rules = outlook.rules
    model = outlook.changed(changed)
    forecast = outlook.quick(model)
    placed = layout(changed)
    tape = tape_of(changed, model, rules, forecast, {}, span_s, placed)
    segment = part_of(changed.segments, segment_id)
    place = [each.id for each in changed.segments].index(segment_id) + 1
    lasts = format_clock(segment.duration.likely_s)
    figures = {each.id: each.value for each in chances_of(forecast, rules, changed.id)}
    return Followed(
        tape.places,
        figures | plan_figures(changed.id, placed),
        segment.duration.likely_s,
        f"{place}. {segment.name}, {lasts}. {inside_words(forecast, rules.slot_s)}.",
    )


def plan_figures(routine_id: str, placed: Layout) -> dict[str, str]:
    """Id -> text of the figures that come from the plan alone: starts, durations, the whole."""
    found = {f"planned:{routine_id}": format_clock(placed.total_s)}
    for each in placed.segments:
        found[f"segment-start:{each.segment.id}"] = format_clock(each.start_s)
        found[f"segment-lasts:{each.segment.id}"] = format_clock(each.segment.duration.likely_s)
    return found
