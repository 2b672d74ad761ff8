"""The rule sheet: how long the slot is and what running over costs.

>>> sheet = RuleSheet(id="r", name="House", grace_s=2.0, penalty_per_s=1.5, penalty_cap=10.0)
>>> sheet.penalty(601.0), sheet.penalty(603.2), sheet.penalty(640.0)
(0.0, 3.0, 10.0)
"""

import math
from dataclasses import dataclass
from typing import Annotated

from pydantic import ConfigDict, Field

from server.domain.base.durations import LONGEST_S, format_duration
from server.domain.base.errors import Fault, refuse_if
from server.domain.base.ids import Id
from server.domain.base.text import LINE, LONG_TEXT, long_text_faults, name_faults

Seconds = Annotated[float, Field(ge=0, le=LONGEST_S)]

MOST_CALLS = 60
MOST_CRITERIA = 20
MOST_POINTS = 1000.0
MOST_WEIGHT = 100.0


@dataclass(frozen=True)
class TimeCall:
    """What the timekeeper says, and when on the elapsed clock."""

    __pydantic_config__ = ConfigDict(extra="forbid")

    at_s: Seconds
    words: Annotated[str, Field(max_length=LINE)]


@dataclass(frozen=True)
class Criterion:
    """What those who watch give points for, and the most they can give.

    In a total each point counts `weight` times.
    """

    __pydantic_config__ = ConfigDict(extra="forbid")

    id: Id
    name: Annotated[str, Field(min_length=1, max_length=LINE)]
    most_points: Annotated[float, Field(gt=0, le=MOST_POINTS)] = 10.0
    weight: Annotated[float, Field(gt=0, le=MOST_WEIGHT)] = 1.0


@dataclass(frozen=True)
class RuleSheet:
    """Slot, target, time calls and penalties that a routine is measured against."""

    __pydantic_config__ = ConfigDict(extra="forbid")

    id: Id
    name: Annotated[str, Field(min_length=1, max_length=LINE)]
    slot_s: Seconds = 600.0
    target_s: Seconds = 590.0
    time_calls: Annotated[tuple[TimeCall, ...], Field(max_length=MOST_CALLS)] = ()
    grace_s: Seconds = 0.0
    """Seconds past the slot that cost nothing."""
    penalty_per_s: Annotated[float, Field(ge=0, le=1000)] = 1.0
    """Points for each stretch of `penalty_every_s` that is begun past slot and grace."""
    penalty_every_s: Annotated[float, Field(ge=0.1, le=LONGEST_S)] = 1.0
    penalty_cap: Annotated[float, Field(ge=0, le=100_000)] | None = None
    cutoff_s: Seconds | None = None
    """Elapsed time at which the presenter is stopped; None where the rules know none."""
    serves_per_drink: Annotated[int, Field(ge=1, le=100)] = 4
    notes: Annotated[str, Field(max_length=LONG_TEXT)] = ""
    declare_all: bool = False
    """Whether every ingredient has to be named in the talk."""
    criteria: Annotated[tuple[Criterion, ...], Field(max_length=MOST_CRITERIA)] = ()

    def __post_init__(self) -> None:
        refuse_if(self._faults())

    def _faults(self) -> list[Fault]:
        faults = [*name_faults(self.name), *long_text_faults(self.notes, "notes")]
        if len(self.time_calls) > MOST_CALLS:
            faults.append(Fault("calls", f"A rule sheet holds at most {MOST_CALLS} time calls."))
        if len(self.criteria) > MOST_CRITERIA:
            faults.append(
                Fault("criteria", f"A rule sheet holds at most {MOST_CRITERIA} criteria.")
            )
        if len({each.id for each in self.criteria}) < len(self.criteria):
            faults.append(Fault("criteria", "Two criteria carry the same id."))
        if self.slot_s <= 0:
            faults.append(Fault("slot", "The slot must be longer than zero."))
        if self.target_s > self.slot_s:
            faults.append(
                Fault(
                    "target", f"The target lies after the slot of {format_duration(self.slot_s)}."
                )
            )
        if self.cutoff_s is not None and self.cutoff_s < self.slot_s:
            faults.append(Fault("cutoff", "The cut-off cannot come before the end of the slot."))
        return faults

    def penalty(self, total_s: float) -> float:
        """Points lost by a run of `total_s`: per stretch begun past slot and grace, capped."""
        # Marks are milliseconds: rounding first keeps binary dust from starting a new second.
        over_s = round(total_s - self.slot_s - self.grace_s, 3)
        begun = math.ceil(round(over_s / self.penalty_every_s, 6))
        points = begun * self.penalty_per_s if over_s > 0 else 0.0
        return points if self.penalty_cap is None else min(points, self.penalty_cap)

    def is_cut_off(self, total_s: float) -> bool:
        """Whether a run of `total_s` would have been stopped before its end."""
        return self.cutoff_s is not None and total_s > self.cutoff_s
