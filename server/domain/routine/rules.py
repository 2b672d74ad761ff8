"""The rule sheet: how long the slot is and what running over costs.

>>> sheet = RuleSheet(id="r", name="House", grace_s=2.0, penalty_per_s=1.5, penalty_cap=10.0)
>>> sheet.penalty(601.0), sheet.penalty(603.2), sheet.penalty(640.0)
(0.0, 3.0, 10.0)
"""

import math
from dataclasses import dataclass
from typing import Annotated

from server.domain.base.documents import Document
from server.domain.base.durations import LONGEST_S, Seconds, format_duration
from server.domain.base.errors import Fault, refuse_if
from server.domain.base.ids import Id
from server.domain.base.limits import AtMost, Between, limit_faults
from server.domain.base.text import Line, Name, Text
from server.domain.routine.preparing import Phase

MOST_CALLS = 60
MOST_CRITERIA = 20
MOST_POINTS = 1000.0
MOST_WEIGHT = 100.0


@dataclass(frozen=True)
class TimeCall(Document):
    """What the timekeeper says, and when on the elapsed clock."""

    at_s: Seconds
    words: Line


@dataclass(frozen=True)
class Criterion(Document):
    """What those who watch give points for, and the most they can give.

    In a total each point counts `weight` times.
    """

    id: Id
    name: Name
    most_points: Annotated[
        float, Between(0, MOST_POINTS, "Points lie above 0, up to 1,000.", above=True)
    ] = 10.0
    weight: Annotated[
        float, Between(0, MOST_WEIGHT, "A weight lies above 0, up to 100.", above=True)
    ] = 1.0

    def __post_init__(self) -> None:
        refuse_if(limit_faults(self))


_FIELDS = {
    "slot_s": "slot", "target_s": "target", "time_calls": "calls", "grace_s": "grace",
    "penalty_per_s": "penalty", "penalty_every_s": "every", "penalty_cap": "cap",
    "cutoff_s": "cutoff", "serves_per_drink": "serves", "set_up_s": "set_up", "clear_s": "clear",
    "waiting_s": "waiting",
}  # fmt: skip
"""What the form of a rule sheet calls its fields."""


@dataclass(frozen=True)
class RuleSheet(Document):
    """Slot, target, time calls and penalties that a routine is measured against."""

    id: Id
    name: Name
    slot_s: Seconds = 600.0
    target_s: Seconds = 590.0
    time_calls: Annotated[
        tuple[TimeCall, ...], AtMost(MOST_CALLS, "A rule sheet holds at most {} time calls.")
    ] = ()
    grace_s: Seconds = 0.0
    """Seconds past the slot that cost nothing."""
    penalty_per_s: Annotated[float, Between(0, 1000, "A penalty lies between 0 and 1,000.")] = 1.0
    """Points for each stretch of `penalty_every_s` that is begun past slot and grace."""
    penalty_every_s: Annotated[
        float, Between(0.1, LONGEST_S, "A stretch lasts between 0.1 s and a day.")
    ] = 1.0
    penalty_cap: (
        Annotated[float, Between(0, 100_000, "A cap lies between 0 and 100,000.")] | None
    ) = None
    cutoff_s: Seconds | None = None
    """Elapsed time at which the presenter is stopped; None where the rules know none."""
    serves_per_drink: Annotated[int, Between(1, 100, "Serves lie between 1 and 100.")] = 4
    notes: Text = ""
    declare_all: bool = False
    """Whether every ingredient has to be named in the talk."""
    criteria: Annotated[
        tuple[Criterion, ...], AtMost(MOST_CRITERIA, "A rule sheet holds at most {} criteria.")
    ] = ()
    set_up_s: Seconds | None = None
    """Time for setting up before the slot; None where the rules know none ..."""
    clear_s: Seconds | None = None
    """... and for clearing away after it."""
    waiting_s: Seconds | None = None
    """So long before the slot one has to be backstage, set up; None where the rules know none."""

    def __post_init__(self) -> None:
        refuse_if(self._faults())

    def _faults(self) -> list[Fault]:
        faults = limit_faults(self, **_FIELDS)
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

    def allowed_s(self, phase: Phase) -> float | None:
        """The time allowed for setting up or clearing away; None where the rules know none."""
        return self.set_up_s if phase == "set_up" else self.clear_s

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
