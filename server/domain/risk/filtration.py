"""How long a filtration takes, from a few readings of what has come through by when.

At constant pressure a growing cake lets V through in t = a V² + b V: the first part is the
resistance of the cake, the second that of the filter (Ruth, 1935; Geankoplis, "Transport
Processes and Separation Process Principles", chapter 14). a and b are the slope and the intercept
of t / V against V, fitted by least squares.

Under its own weight the liquid presses less and less, so the law, fitted to early readings, is
optimistic: what it says is the least the batch will take.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import log, sqrt

from server.domain.base.durations import LONGEST_S
from server.domain.base.errors import Fault, InvalidInput, refuse_if
from server.domain.base.student import t_quantile
from server.domain.routine.estimate import TimeEstimate
from server.domain.routine.filter_reading import FiltrationReading

READING_ERROR = 0.03
"""Assumption, no source: how far a single reading is off, as part of the mean of t / V."""

READING_WEIGHT = 4
"""Assumption, no source: that error weighs as much as so many readings beyond the first two."""

HEAD_LOST_LIKELY, HEAD_LOST_HIGH = 1 / 3, 2 / 3
"""Assumption, no source: part of the pressing height that is gone at the end of the batch."""


@dataclass(frozen=True)
class Filtration:
    """The fitted law; `cake_s_per_ml2` is a, `filter_s_per_ml` is b.

    `error_s_per_ml` is the standard error of a reading of t / V, with `freedom` degrees.
    """

    cake_s_per_ml2: float
    filter_s_per_ml: float
    readings: tuple[FiltrationReading, ...]
    error_s_per_ml: float
    freedom: int

    def time_s(self, volume_ml: float) -> float:
        """When the law has `volume_ml` through: the least it will take under a falling head."""
        return (self.cake_s_per_ml2 * volume_ml + self.filter_s_per_ml) * volume_ml

    def volume_ml(self, time_s: float) -> float:
        """How much the law has through at `time_s`."""
        a, b = self.cake_s_per_ml2, self.filter_s_per_ml
        return 2 * time_s / (b + sqrt(b * b + 4 * a * time_s))

    def batch(self, volume_ml: float, falling_head: bool = True) -> TimeEstimate:
        """How long a batch of `volume_ml` takes in all, as low, likely and high.

        The spread of the readings makes low and high; a falling head makes likely and high longer
        from the last reading on. Raises InvalidInput for a volume that is not above zero.
        """
        if not volume_ml > 0:  # so that not-a-number is refused as well
            raise InvalidInput.of("batch", "Say how much has to come through, above zero.")
        law_s, off_s = self.time_s(volume_ml), self._off_s(volume_ml)
        slower = (HEAD_LOST_LIKELY, HEAD_LOST_HIGH) if falling_head else (0.0, 0.0)
        likely_s, high_s = (law_s + self._lost_s(volume_ml, lost) for lost in slower)
        return TimeEstimate(max(law_s - off_s, 0.0), likely_s, high_s + off_s)

    def _off_s(self, volume_ml: float) -> float:
        """How far the law is off at a volume, one time in ten to either side."""
        volumes = [reading.volume_ml for reading in self.readings]
        middle = sum(volumes) / len(volumes)
        across = sum((volume - middle) ** 2 for volume in volumes)
        width = sqrt(1 / len(volumes) + (volume_ml - middle) ** 2 / across)
        return t_quantile(0.9, self.freedom) * self.error_s_per_ml * width * volume_ml

    def _lost_s(self, volume_ml: float, lost: float) -> float:
        """Extra seconds where the pressing height falls evenly by `lost` until the end.

        dt = (2 a V + b) dV / (1 - c x), x the volume since the last reading, c = lost / all x;
        integrated in closed form, less what the law alone takes.
        """
        last_ml = self.readings[-1].volume_ml
        left_ml = volume_ml - last_ml
        if left_ml <= 0 or lost == 0:
            return 0.0
        slope = 2 * self.cake_s_per_ml2
        rate = slope * last_ml + self.filter_s_per_ml
        c = lost / left_ml
        falling_s = -slope * left_ml / c - (slope / c**2 + rate / c) * log(1 - lost)
        return falling_s - (self.time_s(volume_ml) - self.time_s(last_ml))


def fit(readings: Sequence[FiltrationReading]) -> Filtration:
    """The law through these readings; fit again whenever one is added.

    Raises InvalidInput where there are fewer than two, where they do not rise, or where they
    contradict a growing cake (a or b below zero).
    """
    ordered = tuple(sorted(readings, key=lambda reading: reading.volume_ml))
    refuse_if(_faults(ordered))
    volumes = [reading.volume_ml for reading in ordered]
    paces = [reading.time_s / reading.volume_ml for reading in ordered]
    n = len(ordered)
    volume, pace = sum(volumes) / n, sum(paces) / n
    across = sum((v - volume) ** 2 for v in volumes)
    slope = sum((v - volume) * (p - pace) for v, p in zip(volumes, paces, strict=True)) / across
    intercept = pace - slope * volume
    a, b = _without_dust(slope, pace / volume), _without_dust(intercept, pace)
    refuse_if(_contradictions(a, b))
    squares = sum((p - intercept - slope * v) ** 2 for v, p in zip(volumes, paces, strict=True))
    freedom = READING_WEIGHT + n - 2
    error = sqrt((READING_WEIGHT * (READING_ERROR * pace) ** 2 + squares) / freedom)
    return Filtration(a, b, ordered, error, freedom)


def _faults(ordered: Sequence[FiltrationReading]) -> list[Fault]:
    if len(ordered) < 2:
        return [Fault("readings", "Two readings are the least: a volume and when it was through.")]
    if any(r.volume_ml <= 0 or not 0 < r.time_s <= LONGEST_S for r in ordered):
        return [Fault("readings", "Volumes and times of readings lie above zero.")]
    steps = list(pairwise(ordered))
    if any(b.volume_ml == a.volume_ml or b.time_s <= a.time_s for a, b in steps):
        return [Fault("readings", "More must have come through at each later reading.")]
    return []


def _contradictions(a: float, b: float) -> list[Fault]:
    if a < 0:
        words = "It seems to run faster and faster, which a growing cake cannot do."
    elif b < 0:
        words = "It seems to have run without any resistance at first."
    else:
        return []
    return [Fault("readings", f"{words} Check the readings, or read once more.")]


def _without_dust(value: float, beside: float) -> float:
    """`value`, or 0 where it is no more than what binary fractions leave behind."""
    return 0.0 if abs(value) < 1e-9 * beside else value
