"""How long something may take, as three numbers.

Low, likely and high mean: one time in ten it is quicker than low, half of the times it is quicker
than likely, one time in ten it is slower than high. They are not the limits of what can happen:
what people name as the worst case is passed more often than they think.

>>> TimeEstimate(40, 44, 52).longer_of(50)
TimeEstimate(low_s=45.0, likely_s=50, high_s=60.0, assumed=False)
"""

from dataclasses import dataclass

from server.domain.base.errors import InvalidInput
from server.domain.routine.routine import Spread

ASSUMED_LOW, ASSUMED_HIGH = 0.9, 1.2
"""Assumption, no source: where no spread was given, low and high as parts of the likely time."""


@dataclass(frozen=True)
class TimeEstimate:
    """Seconds that one in ten, half and nine in ten performances stay below.

    `assumed` says that low or high was not given but filled in by ASSUMED_LOW and ASSUMED_HIGH.
    """

    low_s: float
    likely_s: float
    high_s: float
    assumed: bool = False

    def __post_init__(self) -> None:
        if not 0 <= self.low_s <= self.likely_s <= self.high_s:
            raise InvalidInput.of(
                "likely", "Low, likely and high must rise, from zero at the least."
            )

    def longer_of(self, voice_s: float) -> "TimeEstimate":
        """The estimate of the longer of this and of talking for `voice_s` seconds.

        Each of the three is the longer of the two: hands and voice belong to one person, who is
        slow or quick with both.
        """
        voice = around(voice_s)
        return TimeEstimate(
            max(self.low_s, voice.low_s),
            max(self.likely_s, voice.likely_s),
            max(self.high_s, voice.high_s),
            self.assumed,
        )

    def changed_by(self, seconds: float) -> "TimeEstimate":
        """The estimate with its likely time so much longer, low and high in proportion."""
        if self.likely_s == 0:
            return around(max(seconds, 0.0)) if self.high_s == 0 else self
        ratio = max(self.likely_s + seconds, 0.0) / self.likely_s
        return TimeEstimate(
            self.low_s * ratio, self.likely_s * ratio, self.high_s * ratio, self.assumed
        )


def around(likely_s: float) -> TimeEstimate:
    """The estimate of a time of which only the likely value is known."""
    return TimeEstimate(likely_s * ASSUMED_LOW, likely_s, likely_s * ASSUMED_HIGH, assumed=True)


def estimate_of(spread: Spread) -> TimeEstimate:
    """The estimate that a planned duration stands for; what it leaves open is assumed."""
    assumed = around(spread.likely_s)
    return TimeEstimate(
        assumed.low_s if spread.low_s is None else spread.low_s,
        spread.likely_s,
        assumed.high_s if spread.high_s is None else spread.high_s,
        assumed=spread.low_s is None or spread.high_s is None,
    )
