"""The difference between two groups of runs: first of a day and later, before and after an edit.

>>> import numpy as np
>>> found = difference(np.array([61.2, 63.0, 60.4, 62.2, 64.1]), np.array([58.0, 59.1, 57.2, 58.8]))
>>> found.method, *(round(each, 2) for each in (found.shift_s, found.low_s, found.high_s))
('rank sums', 3.95, 1.6, 6.1)

With four runs or more on either side the shift is Hodges and Lehmann's, its interval the inverse
of the rank-sum test (1963, Ann. Math. Stat. 34:598): exact whatever the law of the times, and one
mishap of ten minutes moves it by one rank. Fewer runs bound nothing at 95 % that way; then the
means differ with Welch's t interval (1947, Biometrika 34:28), which takes times for normal and is
honest by being wide. A bootstrap would be too narrow for groups this small.
"""

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from server.domain.base.student import t_cdf, t_quantile
from server.domain.drift.laws import (
    EXACT_RANK_SUMS,
    Array,
    normal_quantile,
    rank_sum_rank,
    rank_sum_tails,
    two_sided_p,
)
from server.domain.drift.ranks import middle, ranks_and_ties

Method = Literal["rank sums", "means", "none"]

LATEST_RUNS = 60
"""Latest runs of each group that are compared: every pair of them enters."""

LEAST_FOR_RANKS = 4
LEAST_FOR_MEANS = 2


@dataclass(frozen=True)
class Difference:
    """How much longer the first group takes than the second; seconds.

    Without two runs on either side there is no interval and `p` is None: a difference of two
    single runs says nothing by itself (see `usual_difference_s`).
    """

    n_first: int
    n_second: int
    first_s: float
    """Median of the first group."""
    second_s: float
    shift_s: float
    low_s: float | None
    high_s: float | None
    p: float | None
    method: Method


def difference(first_s: Array, second_s: Array, *, level: float = 0.95) -> Difference | None:
    """How much longer the times of one group are than those of another; None where one is empty."""
    a, b = _latest(first_s), _latest(second_s)
    if not a.size or not b.size:
        return None
    shift_s, low_s, high_s, p, method = _compared(a, b, level)
    return Difference(
        n_first=a.size,
        n_second=b.size,
        first_s=middle(a),
        second_s=middle(b),
        shift_s=shift_s,
        low_s=low_s,
        high_s=high_s,
        p=p,
        method=method,
    )


def usual_difference_s(times_s: Array) -> float | None:
    """How far two ordinary runs lie apart in 95 of 100 cases; None with fewer than three.

    1.96 * sqrt(2) * sigma, the repeatability limit of ISO 5725-6, with sigma from the median
    step between neighbouring runs (0.954 sigma for normal times), which drift and mishaps spare.
    """
    if times_s.size < 3:
        return None
    step_s = middle(np.abs(np.diff(times_s)))
    return 1.96 * math.sqrt(2) * step_s / (math.sqrt(2) * normal_quantile(0.75))


def _latest(times_s: Array) -> Array:
    return times_s[np.isfinite(times_s)][-LATEST_RUNS:]


def _compared(
    a: Array, b: Array, level: float
) -> tuple[float, float | None, float | None, float | None, Method]:
    if min(a.size, b.size) >= LEAST_FOR_RANKS:
        rank = rank_sum_rank(a.size, b.size, level)
        if rank is not None:
            return *_shift(a, b, rank), _rank_sum_p(a, b), "rank sums"
    if min(a.size, b.size) >= LEAST_FOR_MEANS:
        return *_welch(a, b, level), "means"
    return middle(a) - middle(b), None, None, None, "none"


def _shift(a: Array, b: Array, rank: int) -> tuple[float, float, float]:
    differences = np.subtract.outer(a, b).ravel()
    size, half = differences.size, differences.size // 2
    places = [half] if size % 2 else [half - 1, half]
    ordered = np.partition(differences, [rank - 1, *places, size - rank])
    shift = float(ordered[places[0]] + ordered[places[-1]]) / 2
    return shift, float(ordered[rank - 1]), float(ordered[size - rank])


def _rank_sum_p(a: Array, b: Array) -> float:
    """Mann and Whitney's test, two-sided: counted out for small groups without ties, otherwise by
    the normal law with ties and continuity."""
    n, m = a.size, b.size
    ranks, ties = ranks_and_ties(np.concatenate([a, b]))
    wins = float(ranks[:n].sum()) - n * (n + 1) / 2
    fewest = min(wins, n * m - wins)
    if n * m <= EXACT_RANK_SUMS and not ties.size:
        return min(1.0, 2 * float(rank_sum_tails(n, m)[int(fewest)]))
    total = n + m
    tied = float(np.sum(ties**3 - ties)) / (total * (total - 1))
    variance = n * m / 12 * (total + 1 - tied)
    if variance <= 0:
        return 1.0
    return two_sided_p(max(0.0, n * m / 2 - fewest - 0.5) / math.sqrt(variance))


def _welch(
    a: Array, b: Array, level: float
) -> tuple[float, float | None, float | None, float | None]:
    shift = float(a.mean() - b.mean())
    parts = [float(group.var(ddof=1)) / group.size for group in (a, b)]
    variance = sum(parts)
    if variance <= 0:
        return shift, None, None, None
    df = variance**2 / sum(
        part**2 / (group.size - 1) for part, group in zip(parts, (a, b), strict=True)
    )
    error = math.sqrt(variance)
    reach = t_quantile(0.5 + level / 2, df) * error
    return shift, shift - reach, shift + reach, 2 * t_cdf(-abs(shift) / error, df)
