"""Level and spread of repeated times.

>>> level = describe([600, 590, 604, 585])
>>> level.mean, level.median, round(level.sd, 2), level.last, level.drift
(594.75, 595.0, 8.77, 585, -15)
"""

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from math import fsum, sqrt
from operator import mul
from statistics import fmean


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
    last = values[-1]
    ordered = sorted(values)
    best, middle, worst = ordered[0], _middle(ordered), ordered[-1]
    ordered.pop(bisect_left(ordered, last))
    mean = fmean(values)
    return Level(
        n=len(values),
        mean=mean,
        median=middle,
        sd=_deviation(values, mean) if ordered else None,
        best=best,
        worst=worst,
        last=last,
        drift=last - _middle(ordered) if ordered else None,
    )


def _middle(ordered: Sequence[float]) -> float:
    """The median of values that are in order."""
    half = len(ordered) // 2
    return ordered[half] if len(ordered) % 2 else (ordered[half - 1] + ordered[half]) / 2


def _deviation(values: Sequence[float], mean: float) -> float:
    """The sample standard deviation of two values or more.

    In two passes, corrected for what the mean lost to rounding (Chan, Golub and LeVeque, Algorithms
    for Computing the Sample Variance, 1983, equation 1.7): `statistics.stdev` counts in fractions,
    which takes twenty times as long, and a page asks for it of every segment.
    """
    apart = [value - mean for value in values]
    lost = fsum(apart)
    squares = fsum(map(mul, apart, apart)) - lost * lost / len(apart)
    return sqrt(max(squares, 0.0) / (len(apart) - 1))
