"""The parallel process: something that runs by itself while the presenter goes on."""

from dataclasses import dataclass
from typing import Annotated

from server.domain.base.documents import Document
from server.domain.base.durations import Seconds
from server.domain.base.errors import refuse_if
from server.domain.base.ids import Id
from server.domain.base.limits import AtMost, Between, limit_faults
from server.domain.base.text import Name, Text
from server.domain.glass.steps import TempC
from server.domain.routine.filter_reading import FiltrationReading
from server.domain.routine.planned import Spread

MOST_READINGS = 12


_FIELDS = {
    "patience_s": "patience", "fallback_by_s": "by", "fallback_cost_s": "cost",
    "batch_ml": "batch", "from_c": "from", "to_c": "to",
}  # fmt: skip
"""What the form of a process calls its fields."""


@dataclass(frozen=True)
class Process(Document):
    """A parallel process: runs by itself after one segment, must be ready before another.

    A link is None where the segment it named was deleted; the plan page asks for a new one.
    """

    id: Id
    name: Name
    duration: Spread
    after_segment_id: Id | None = None
    before_segment_id: Id | None = None
    fallback: Text = ""
    patience_s: Seconds = 0.0
    """How long the presenter waits for it, once it is needed, before the fallback is taken."""
    fallback_by_s: Seconds = 0.0
    """The moment on the elapsed clock before which the fallback is not taken; 0 for none."""
    fallback_cost_s: Seconds = 0.0
    """What taking the fallback costs beside."""
    readings: Annotated[
        tuple[FiltrationReading, ...], AtMost(MOST_READINGS, "At most {} readings fit here.")
    ] = ()
    """What had come through by when, where it is a filtration."""
    batch_ml: (
        Annotated[
            float, Between(0, 1_000_000, "A batch lies between 0 and 1,000,000 ml.", above=True)
        ]
        | None
    ) = None
    """How much has to come through in all."""
    falling_head: bool = True
    """Whether it runs under its own weight, which presses less and less."""
    vessel_drink_id: Id | None = None
    """The drink in whose vessel and room it cools or warms, where that is what it does."""
    from_c: TempC | None = None
    to_c: TempC | None = None
    product_id: Id | None = None
    """The ingredient that it makes, which waits from when it is ready until it is needed."""

    def __post_init__(self) -> None:
        refuse_if(limit_faults(self, **_FIELDS))

    @property
    def has_fallback(self) -> bool:
        """Whether something else is done when it is late; it is waited for where not.

        Words alone say that there is a fallback.
        """
        times_s = (self.patience_s, self.fallback_by_s, self.fallback_cost_s)
        return bool(self.fallback.strip()) or any(times_s)
