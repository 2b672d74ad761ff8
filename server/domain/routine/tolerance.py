"""How far what is said may lie from recipe and plan and still be right: a routine's own setting.

>>> Tolerance().amount_ratio, Tolerance(time_s=4).time_slack_s(600), Tolerance().time_slack_s(12)
(0.05, 4, 2.4)
"""

from dataclasses import dataclass
from typing import Annotated

from server.domain.base.documents import Document
from server.domain.base.errors import refuse_if
from server.domain.base.limits import Between, limit_faults

ABOUT_TIMES = 3.0
"""An amount, a time or a strength that is said to be "about" so much may be so many times further
off."""

ABOUT_MORE_C = 2.5
"""And a temperature by so much more, °C."""

MOST_OF_A_TIME = 0.2
"""Never more than this share of a planned time: five seconds are much of a shake of twelve."""

_BETWEEN = "This lies between 0 and {}."


@dataclass(frozen=True)
class Tolerance(Document):
    """Allowed differences: of amounts and ratios in %, of temperatures in °C, of strengths in
    percentage points, of times in s. The usual values are ours.
    """

    amount_percent: Annotated[float, Between(0, 50, _BETWEEN.format(50))] = 5.0
    temp_c: Annotated[float, Between(0, 20, _BETWEEN.format(20))] = 0.5
    strength_points: Annotated[float, Between(0, 20, _BETWEEN.format(20))] = 0.5
    time_s: Annotated[float, Between(0, 600, _BETWEEN.format(600))] = 10.0

    def __post_init__(self) -> None:
        refuse_if(limit_faults(self))

    @property
    def amount_ratio(self) -> float:
        """Allowed difference of an amount, as a share of what is held."""
        return self.amount_percent / 100

    @property
    def about_ratio(self) -> float:
        """The same for what is said to be "about" so much."""
        return ABOUT_TIMES * self.amount_ratio

    @property
    def about_temp_c(self) -> float:
        """Allowed difference of a temperature that is said to be "about" so much, °C."""
        return self.temp_c + ABOUT_MORE_C

    @property
    def about_strength_points(self) -> float:
        """Allowed difference of a strength that is said to be "about" so much, points."""
        return ABOUT_TIMES * self.strength_points

    def time_slack_s(self, planned_s: float, *, about: bool = False) -> float:
        """Allowed difference from a planned time, s."""
        slack_s = self.time_s * (ABOUT_TIMES if about else 1)
        return min(slack_s, round(MOST_OF_A_TIME * planned_s, 1))


USUAL = Tolerance()
