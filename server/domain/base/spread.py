"""Level and spread of repeated times.

>>> level = describe([600, 590, 604, 585])
>>> level.mean, level.median, round(level.sd, 2), level.last, level.drift
(594.75, 595.0, 8.77, 585, -15)
"""

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean, median, stdev


@dataclass(frozen=True)
class Level:
    """What a series of times, in the order they were run, comes to; units as given.

    `sd` is the sample standard deviation and `drift` the last value against the median of those
    before it; both are None for a single value.
    """

    n: int
    mean: float
    median: float
    sd: float | None
    best: float
    worst: float
    last: float
    drift: float | None


def describe(values: Sequence[float]) -> Level | None:
    """The level of `values`, oldest first; None where there are none."""
    if not values:
        return None
    *earlier, last = values
    return Level(
        n=len(values),
        mean=fmean(values),
        median=median(values),
        sd=stdev(values) if earlier else None,
        best=min(values),
        worst=max(values),
        last=last,
        drift=last - median(earlier) if earlier else None,
    )
