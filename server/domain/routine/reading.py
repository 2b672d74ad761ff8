"""A reading of a filtration: how much had come through by when."""

from dataclasses import dataclass
from typing import Annotated

from pydantic import ConfigDict, Field

from server.domain.base.durations import LONGEST_S


@dataclass(frozen=True)
class Reading:
    """`volume_ml` had come through `time_s` after the start."""

    __pydantic_config__ = ConfigDict(extra="forbid")

    time_s: Annotated[float, Field(ge=0, le=LONGEST_S)]
    volume_ml: Annotated[float, Field(ge=0, le=1_000_000)]
