"""A step of the list of what to do next: what it says, what it offers, and how much weighs.

| action | parameters |
| --- | --- |
| cure claim | claim, cure |
| open claim | claim |
| write words | segment (may be ""), word |
| take off card, put on card | claim |
| plan segment | segment, seconds |
| cut words | segment |
| learn words | run |
| settle remark | run, remark |
| start process after | process, segment |
| open process | process |
| end run, open run, count run, leave out run | run |
| choose rules | sheet (may be "") |
| say sentences | |
| open tasting | sitting |
| choose drink | segment |
| open plan | |
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

Kind = Literal[
    "wrong", "nothing gives it", "longer", "late", "over", "rules", "never said", "missed",
    "not on the card", "remark", "run", "learn", "not found", "no drink",
    "too long",
]  # fmt: skip

Action = Literal[
    "cure claim", "open claim", "write words", "take off card", "put on card", "plan segment",
    "cut words", "learn words", "settle remark", "start process after", "open process", "end run",
    "open run", "count run", "leave out run", "choose rules", "say sentences", "open tasting",
    "choose drink", "open plan",
]  # fmt: skip

WEIGHTS: Mapping[Kind, float] = {
    "wrong": 1.0,
    "longer": 1.0,
    "over": 1.0,
    "late": 0.5,
    "learn": 0.2,
    "nothing gives it": 0.15,
    "never said": 0.04,
    "missed": 0.03,
    "run": 0.025,
    "not on the card": 0.02,
    "remark": 0.018,
    "rules": 0.015,
    "not found": 0.1,
    "no drink": 0.12,
    "too long": 0.5,
}
"""Assumption, no source: how bad a run is that something spoils, 1 for one beyond the slot.

A false number is heard in every run and as bad as that. A late process is half of it, because there
is a plan B (without one it counts twice). Where no sentence sits, one run in five is lost to it. A
word that nothing gives costs part of a score; one that nobody says less: a segment that takes four
finishes in a hundred out of the slot is as much. A word that tasters do not find is nearly as bad
as one that nothing gives. Where no segment names its drink, what is said is held against the wrong
one, or against none. A plan half a minute or more beyond the slot is as bad as a late process:
hands may still be quicker than it. What remains spoils little, and stands in the order in which it
can be mended before the next run."""

AT_ONCE: frozenset[Action] = frozenset(
    {
        "cure claim", "take off card", "put on card", "plan segment", "settle remark",
        "start process after", "end run", "count run", "leave out run",
    }
)  # fmt: skip
"""Actions that change something at one touch; all others open the place where it is done."""


@dataclass(frozen=True)
class StepCure:
    """One way to settle a step: the label of its button, an action, its parameters."""

    label: str
    action: Action
    parameters: Mapping[str, str] = field(default_factory=dict)

    @property
    def acts(self) -> bool:
        """Whether it changes something at one touch, rather than opening a place."""
        return self.action in AT_ONCE


@dataclass(frozen=True)
class NextStep:
    """One thing to do; `cost` orders the steps (see the module), `id` names it on the page."""

    id: str
    kind: Kind
    sentence: str
    detail: str
    cures: tuple[StepCure, ...]
    cost: float
