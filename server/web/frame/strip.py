"""The strip beneath the frame: the whole slot, eight pixels high, on every page of a routine.

It has what the large tape has: which drink a stretch belongs to, and where the slot ends.
"""

from dataclasses import dataclass

from server.domain.routine.plan import layout
from server.domain.routine.routine import Routine
from server.domain.routine.rules import RuleSheet
from server.web.frame.tape import TapeScale, drink_classes, span_of


@dataclass(frozen=True)
class SlotStretch:
    """A segment on the strip; `x` and `width` in percent, `kind` names the drink it serves."""

    x: float
    width: float
    kind: str


@dataclass(frozen=True)
class SlotStrip:
    """The stretches and where the slot ends, in percent."""

    stretches: tuple[SlotStretch, ...]
    end: float


def strip_of(routine: Routine, rules: RuleSheet) -> SlotStrip:
    """The strip of a routine as planned."""
    placed = layout(routine)
    scale = TapeScale(span_of(rules, placed.total_s))
    kinds = drink_classes(routine)
    return SlotStrip(
        tuple(
            SlotStretch(*scale.stretch(each.start_s, each.end_s), kinds[each.segment.id])
            for each in placed.segments
        ),
        scale.at(rules.slot_s),
    )
