"""Where the level of a time jumps: change points from ranks.

>>> import numpy as np
>>> steady = np.array([40.1, 41.3, 39.8, 40.6, 41.0, 40.2, 39.5, 40.9, 40.4, 41.1])
>>> [(each.at, round(each.shift_s, 2)) for each in changes(np.concatenate([steady, steady + 4]))]
[(10, 4.0)]

At each place the ranks before and after are compared by their standardised sum; the largest over
all places is a maximally selected rank statistic (Lausen and Schumacher 1992, Biometrics 48:73).
Its law does not depend on how the times are distributed, so an outlier of ten minutes counts as
one high rank, and a stable series raises a false alarm exactly as often as `ALARM` says. Published
approximations are four times too cautious below thirty runs, so `TAILS` holds simulated ones.
Further changes are looked for on both sides of one that was found (binary segmentation), and each
is then placed anew between its neighbours.
"""

import math
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

import numpy as np

from server.domain.drift.laws import Array
from server.domain.drift.ranks import middle, ranks_and_ties

ALARM = 0.01
"""How often a stable series may be said to have changed."""

LEAST_SIDE = 3
"""Fewest runs on either side of a change."""

LEAST_RUNS = 8

PROBABILITIES = (0.1, 0.05, 0.02, 0.01, 0.005, 0.002, 0.001, 0.0005, 0.0001)
_NEVER = math.inf
TAILS: dict[int, tuple[float, ...]] = {
    8: (2.021, 2.309, _NEVER, _NEVER, _NEVER, _NEVER, _NEVER, _NEVER, _NEVER),
    9: (2.205, 2.449, _NEVER, _NEVER, _NEVER, _NEVER, _NEVER, _NEVER, _NEVER),
    10: (2.165, 2.402, 2.611, 2.611, _NEVER, _NEVER, _NEVER, _NEVER, _NEVER),
    11: (2.245, 2.457, 2.646, 2.739, _NEVER, _NEVER, _NEVER, _NEVER, _NEVER),
    12: (2.208, 2.402, 2.680, 2.722, 2.882, _NEVER, _NEVER, _NEVER, _NEVER),
    13: (2.286, 2.489, 2.714, 2.781, 2.928, _NEVER, _NEVER, _NEVER, _NEVER),
    14: (2.263, 2.492, 2.711, 2.840, 2.969, 3.098, 3.130, _NEVER, _NEVER),
    15: (2.315, 2.546, 2.711, 2.872, 3.009, 3.125, 3.240, _NEVER, _NEVER),
    16: (2.310, 2.521, 2.731, 2.910, 3.017, 3.145, 3.256, 3.334, _NEVER),
    18: (2.340, 2.577, 2.782, 2.943, 3.046, 3.215, 3.311, 3.400, 3.576),
    20: (2.392, 2.593, 2.835, 3.001, 3.130, 3.289, 3.382, 3.477, 3.685),
    25: (2.441, 2.663, 2.891, 3.057, 3.208, 3.384, 3.500, 3.613, 3.827),
    30: (2.486, 2.699, 2.952, 3.118, 3.266, 3.462, 3.594, 3.712, 3.955),
    40: (2.543, 2.769, 3.030, 3.209, 3.373, 3.571, 3.711, 3.832, 4.097),
    60: (2.629, 2.853, 3.124, 3.306, 3.474, 3.687, 3.839, 3.978, 4.279),
    100: (2.713, 2.947, 3.220, 3.407, 3.583, 3.795, 3.949, 4.092, 4.419),
    200: (2.808, 3.043, 3.324, 3.513, 3.691, 3.919, 4.071, 4.221, 4.533),
    400: (2.887, 3.123, 3.402, 3.596, 3.777, 4.020, 4.159, 4.339, 4.646),
    1000: (2.973, 3.210, 3.496, 3.694, 3.880, 4.102, 4.282, 4.449, 4.881),
    3000: (3.066, 3.298, 3.569, 3.757, 3.930, 4.148, 4.307, 4.459, 4.881),
    10000: (3.130, 3.346, 3.628, 3.802, 3.959, 4.188, 4.388, 4.582, 4.881),
}
"""Number of runs -> what the statistic exceeds with each of `PROBABILITIES` in a stable series.

From 4,000,000 random orders of 8 runs, falling to 100,000 of 1,000 and 8,000 of 10,000, with
`LEAST_SIDE` runs on either side; `tests/domain/drift/test_changes.py` draws some of it again.
"""


@dataclass(frozen=True)
class Split:
    """The place that divides a series best: `at` is the first of the later part."""

    at: int
    p: float


@dataclass(frozen=True)
class LevelChange:
    """A change of level before the time at place `at`, counted from 0; medians in seconds."""

    at: int
    before_s: float
    after_s: float
    p: float

    @property
    def shift_s(self) -> float:
        """How much longer a time is after the change than before it."""
        return self.after_s - self.before_s


def changes(times_s: Array, *, alarm: float = ALARM) -> tuple[LevelChange, ...]:
    """Where the level of `times_s` changed, earliest first; at most one in a hundred by chance.

    The chance holds for a series without a change and without gaps taken as times. A steady
    slope shows as a staircase: see `trend` and `learning_curve` before naming it a jump.
    """
    places = _segmented(times_s, alarm)
    edges = [0, *places, times_s.size]
    placed = []
    for before, after in zip(edges, edges[2:], strict=False):
        split = best_split(times_s[before:after])
        if split is not None and split.p <= alarm:
            placed.append((before + split.at, split.p))
    return _described(times_s, placed)


def best_split(times_s: Array) -> Split | None:
    """The place where earlier and later times differ most; None with fewer than eight or all equal.

    `p` is the chance of so great a difference somewhere in a stable series.
    """
    n = times_s.size
    if n < LEAST_RUNS:
        return None
    ranks, ties = ranks_and_ties(times_s)
    # What equal times take from the variance of a sum of ranks (Lehmann, Nonparametrics, 1.4).
    untied = 1 - float(np.sum(ties**3 - ties)) / (n**3 - n)
    if untied <= 0:
        return None
    distances = np.abs(standard_sums(ranks)) / math.sqrt(untied)
    best = int(np.argmax(distances))
    return Split(best + LEAST_SIDE, split_p(float(distances[best]), n))


def standard_sums(ranks: Array) -> Array:
    """The standardised sum of the ranks before each possible place, along the last axis.

    The first stands for `LEAST_SIDE` ranks before. Equal ranks make it too small, never too large.
    """
    n = ranks.shape[-1]
    sums = np.cumsum(ranks - (n + 1) / 2, axis=-1)[..., LEAST_SIDE - 1 : n - LEAST_SIDE]
    standard: Array = sums / _deviations(n)
    return standard


@lru_cache(maxsize=256)
def _deviations(n: int) -> Array:
    """Standard deviation of the sum of the ranks before each possible place."""
    before = np.arange(LEAST_SIDE, n - LEAST_SIDE + 1)
    deviations: Array = np.sqrt(before * (n - before) * (n + 1) / 12)
    return deviations


def split_p(statistic: float, n: int) -> float:
    """The chance that a stable series of `n` runs has a place as telling as `statistic`."""
    law = _law(n)
    last = float(law.points[-1])
    if statistic > last:
        beyond = (last**2 - statistic**2) / 2 if law.whole else 0.0
        return math.exp(law.logs[-1] + beyond)
    return math.exp(np.interp(statistic, law.points, law.logs))


@lru_cache(maxsize=4096)
def alarm_level(n: int, alarm: float = ALARM) -> float:
    """What the statistic of a stable series of `n` runs exceeds with chance `alarm`.

    Infinite where so few runs cannot be so telling.
    """
    law, log_alarm = _law(n), math.log(alarm)
    if log_alarm < law.logs[-1] - 1e-12:
        if not law.whole:
            return math.inf
        return math.sqrt(law.points[-1] ** 2 + 2 * (law.logs[-1] - log_alarm))
    return float(np.interp(-log_alarm, -law.logs, law.points))


@dataclass(frozen=True, eq=False)
class _Law:
    """What the statistic exceeds, rising, with the logarithm of the chance of it.

    `whole` where all of `PROBABILITIES` can be reached; beyond them the tail falls as a normal one.
    """

    points: Array
    logs: Array
    whole: bool


@lru_cache(maxsize=4096)
def _law(n: int) -> _Law:
    row = _tail_row(n)
    known = np.isfinite(row)
    points = np.concatenate([[1.0], row[known]])
    logs = np.log(np.concatenate([[1.0], np.array(PROBABILITIES)[known]]))
    return _Law(points, logs, bool(known.all()))


def _tail_row(n: int) -> Array:
    sizes = sorted(TAILS)
    larger = next((size for size in sizes if size >= n), sizes[-1])
    smaller = next((size for size in reversed(sizes) if size <= n), sizes[0])
    low, high = np.array(TAILS[smaller]), np.array(TAILS[larger])
    if smaller == larger or not np.isfinite(low).all():
        return high
    part = math.log(n / smaller) / math.log(larger / smaller)
    row: Array = low + part * (high - low)
    return row


def _segmented(times_s: Array, alarm: float) -> list[int]:
    waiting, places = [(0, times_s.size)], []
    while waiting:
        begin, end = waiting.pop()
        split = best_split(times_s[begin:end])
        if split is not None and split.p <= alarm:
            place = begin + split.at
            places.append(place)
            waiting += [(begin, place), (place, end)]
    return sorted(places)


def _described(times_s: Array, found: list[tuple[int, float]]) -> tuple[LevelChange, ...]:
    if not found:
        return ()
    edges = [0, *(place for place, _ in found), times_s.size]
    levels = [middle(times_s[a:b]) for a, b in pairwise(edges)]
    return tuple(
        LevelChange(place, before, after, p)
        for (place, p), before, after in zip(found, levels, levels[1:], strict=False)
    )
