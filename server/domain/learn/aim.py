"""For which day the script is to sit, and how long one learns on a day."""

from dataclasses import dataclass
from datetime import date
from typing import Annotated

from server.domain.base.documents import Document
from server.domain.base.errors import refuse_if
from server.domain.base.limits import Between, limit_faults
from server.domain.learn.today import USUAL_MINUTES

MOST_MINUTES = 240
"""More than four hours a day is no plan."""


@dataclass(frozen=True)
class LearningAim(Document):
    """Minutes a day; `day` where the person named one here, rather than a time on stage."""

    minutes: Annotated[
        int, Between(1, MOST_MINUTES, f"Between 1 and {MOST_MINUTES} minutes a day.")
    ] = int(USUAL_MINUTES)
    day: date | None = None

    def __post_init__(self) -> None:
        refuse_if(limit_faults(self))

    def stage_day(self, on_stage: date | None) -> date | None:
        """The day to learn for: that of the stage as Prepare has it, or the one named here."""
        return on_stage or self.day
