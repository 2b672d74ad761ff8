"""The parallel process: something that runs by itself while the presenter goes on."""

from dataclasses import dataclass
from typing import Annotated

from pydantic import ConfigDict, Field

from server.domain.base.durations import LONGEST_S
from server.domain.base.errors import Fault, refuse_if
from server.domain.base.ids import Id
from server.domain.base.text import Name, Text, long_text_faults, name_faults
from server.domain.routine.planned import Seconds, Spread
from server.domain.routine.reading import Reading

MOST_READINGS = 12


@dataclass(frozen=True)
class Process:
    """A parallel process: runs by itself after one segment, must be ready before another.

    A link is None where the segment it named was deleted; the plan page asks for a new one.
    """

    __pydantic_config__ = ConfigDict(extra="forbid")

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
    readings: Annotated[tuple[Reading, ...], Field(max_length=MOST_READINGS)] = ()
    """What had come through by when, where it is a filtration."""
    batch_ml: Annotated[float, Field(gt=0, le=1_000_000)] | None = None
    """How much has to come through in all."""
    falling_head: bool = True
    """Whether it runs under its own weight, which presses less and less."""
    vessel_drink_id: Id | None = None
    """The drink in whose vessel and room it cools or warms, where that is what it does."""
    from_c: Annotated[float, Field(ge=-80, le=110)] | None = None
    to_c: Annotated[float, Field(ge=-80, le=110)] | None = None

    def __post_init__(self) -> None:
        faults = [*name_faults(self.name), *long_text_faults(self.fallback, "fallback")]
        if len(self.readings) > MOST_READINGS:
            faults.append(Fault("readings", f"At most {MOST_READINGS} readings fit here."))
        if self.batch_ml is not None and not 0 < self.batch_ml <= 1_000_000:
            faults.append(Fault("batch", "A batch lies between 0 and 1,000,000 ml."))
        if not all(each is None or -80 <= each <= 110 for each in (self.from_c, self.to_c)):
            faults.append(Fault("from", "A temperature lies between −80 and 110 °C."))
        times_s = (self.patience_s, self.fallback_by_s, self.fallback_cost_s)
        if not all(0 <= each <= LONGEST_S for each in times_s):
            faults.append(Fault("patience", "Times of a fallback lie between 0:00 and a day."))
        refuse_if(faults)

    @property
    def has_fallback(self) -> bool:
        """Whether something else is done when it is late; it is waited for where not.

        Words alone say that there is a fallback.
        """
        times_s = (self.patience_s, self.fallback_by_s, self.fallback_cost_s)
        return bool(self.fallback.strip()) or any(times_s)
