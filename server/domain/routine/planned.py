"""A planned duration: how long something is expected to take, before runs say."""

from dataclasses import dataclass

from server.domain.base.documents import Document
from server.domain.base.durations import LONGEST_S, Seconds, format_duration
from server.domain.base.errors import Fault, refuse_if
from server.domain.base.limits import limit_faults

WIDE = 10.0
"""A highest duration of more than so many likely ones is asked about. Our choice."""


@dataclass(frozen=True)
class Spread(Document):
    """A planned duration: the likely one, and where known the lowest and highest."""

    likely_s: Seconds
    low_s: Seconds | None = None
    high_s: Seconds | None = None

    def __post_init__(self) -> None:
        refuse_if(self._faults())

    def _faults(self) -> list[Fault]:
        faults = limit_faults(self, likely_s="likely", low_s="low", high_s="high")
        if self.low_s is not None and self.low_s > self.likely_s:
            faults.append(Fault("low", f"The lowest duration cannot be above {self._likely}."))
        if self.high_s is not None and self.high_s < self.likely_s:
            faults.append(Fault("high", f"The highest duration cannot be below {self._likely}."))
        return faults

    @property
    def _likely(self) -> str:
        """With the time as it was read: a "3" that was meant in minutes is seen there."""
        return f"the likely one, {format_duration(min(self.likely_s, LONGEST_S))}"

    @property
    def is_wide(self) -> bool:
        """Whether the highest is so far above the likely that one of them may be a slip."""
        return self.most_s > WIDE * self.likely_s

    def changed_by(self, seconds: float) -> "Spread":
        """The duration with its likely time so much longer, lowest and highest in proportion."""
        likely_s = round(min(max(self.likely_s + seconds, 0.0), LONGEST_S), 1)
        ratio = likely_s / self.likely_s if round(self.likely_s, 1) else 1.0
        low_s, high_s = (
            None if each is None else round(min(each * ratio, LONGEST_S), 1)
            for each in (self.low_s, self.high_s)
        )
        # From zero, to a tenth, there is no proportion: what was given stands as far as it can.
        return Spread(
            likely_s,
            None if low_s is None else min(low_s, likely_s),
            None if high_s is None else max(high_s, likely_s),
        )

    @property
    def least_s(self) -> float:
        """The lowest duration, or the likely one where no lowest was given."""
        return self.likely_s if self.low_s is None else self.low_s

    @property
    def most_s(self) -> float:
        """The highest duration, or the likely one where no highest was given."""
        return self.likely_s if self.high_s is None else self.high_s
