"""Trend per run: Theil and Sen's slope with Mann and Kendall's test.

>>> import numpy as np
>>> found = trend(np.array([600, 590, 604, 585, 580, 588, 575, 570.0]), np.arange(8.0))
>>> round(found.slope_s, 3), found.score, round(found.p, 4)
(-3.958, -20, 0.0187)

Both look at every pair of runs, which grows with the square of their number. A trend is therefore
one of the latest `TREND_RUNS` runs: exact, of bounded cost, and what a presenter means by it (a
slope over a thousand rehearsals says nothing of this month; `changes` and `learning_curve` look at
the whole history, in time that grows with n log n).
"""

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from server.domain.drift.laws import Array, normal_quantile, two_sided_p
from server.domain.drift.ranks import middle, tie_sizes

TREND_RUNS = 100
LEAST_RUNS = 3


@dataclass(frozen=True)
class Trend:
    """How a time moves from run to run; seconds per run.

    `low_s` and `high_s` bound the slope with the level asked for and are None where so few runs
    bound nothing. `score` is Kendall's S, `p` the two-sided chance of it.
    """

    n: int
    slope_s: float
    low_s: float | None
    high_s: float | None
    intercept_s: float
    score: int
    variance: float
    p: float
    runs: int
    """Runs from the first to the last of the trend, those without this mark included."""


def trend(
    times_s: Array, at_run: Array, *, level: float = 0.95, most: int = TREND_RUNS
) -> Trend | None:
    """The trend of the latest `most` times; None with fewer than three.

    `at_run` numbers the runs, rising, with gaps where a mark is missing. Slope: median over all
    pairs (Theil 1950, Sen 1968, J. Am. Stat. Assoc. 63:1379), its interval by Sen from the
    variance of S; test: Mann 1945 and Kendall 1975 with ties and continuity.
    """
    y, x = times_s[-most:], at_run[-most:]
    n = y.size
    if n < LEAST_RUNS:
        return None
    rises, gaps = _pairs(y, x)
    score = int(np.count_nonzero(rises > 0)) - int(np.count_nonzero(rises < 0))
    variance = kendall_variance(n, tie_sizes(y))
    slope_s, low_s, high_s = _slope(rises / gaps, variance, level)
    z = (score - np.sign(score)) / math.sqrt(variance) if variance > 0 else 0.0
    return Trend(
        n=n,
        slope_s=slope_s,
        low_s=low_s,
        high_s=high_s,
        intercept_s=middle(y) - slope_s * middle(x),
        score=score,
        variance=variance,
        p=two_sided_p(float(z)),
        runs=int(x[-1] - x[0]) + 1,
    )


def kendall_variance(n: int, ties: Array) -> float:
    """The variance of Kendall's S over `n` values in random order, with groups of equal ones."""
    return (n * (n - 1) * (2 * n + 5) - float(np.sum(ties * (ties - 1) * (2 * ties + 5)))) / 18


def _slope(
    slopes: Array, variance: float, level: float
) -> tuple[float, float | None, float | None]:
    """The median of the slopes, and the two that bound it."""
    reach = normal_quantile(0.5 + level / 2) * math.sqrt(variance)
    size, half = slopes.size, slopes.size // 2
    low, high = round((size - reach) / 2) - 1, round((size + reach) / 2)
    bounded = low >= 0 and high < size
    places = [half - 1, half] if size % 2 == 0 else [half]
    ordered = np.partition(slopes, [*places, low, high] if bounded else places)
    slope = float(ordered[places[0]] + ordered[places[-1]]) / 2
    return (slope, float(ordered[low]), float(ordered[high])) if bounded else (slope, None, None)


def _pairs(y: Array, x: Array) -> tuple[Array, Array]:
    """Rise and distance of every pair of times, the later one less the earlier."""
    first, second, gaps = _pair_places(y.size)
    gapless = x[-1] - x[0] == x.size - 1
    return (
        y.take(second) - y.take(first),
        gaps if gapless else x.take(second) - x.take(first),
    )


@lru_cache(maxsize=64)
def _pair_places(n: int) -> tuple[NDArray[np.intp], NDArray[np.intp], Array]:
    first, second = np.triu_indices(n, 1)
    return first, second, (second - first).astype(np.float64)
