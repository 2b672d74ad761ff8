"""A reading of a filtration: how much had come through by when."""

from dataclasses import dataclass
from typing import Annotated

from server.domain.base.documents import Document
from server.domain.base.durations import Seconds
from server.domain.base.errors import refuse_if
from server.domain.base.limits import Between, limit_faults


@dataclass(frozen=True)
class FiltrationReading(Document):
    """`volume_ml` had come through `time_s` after the start."""

    time_s: Seconds
    volume_ml: Annotated[float, Between(0, 1_000_000, "A volume lies from 0 to 1,000,000 ml.")]

    def __post_init__(self) -> None:
        refuse_if(limit_faults(self))
