"""How low, likely and high become a law that is wider on one side than on the other.

The logarithm of a duration is a median and a Student t whose scale differs below and above it.
"""

from functools import lru_cache
from math import exp, lgamma, log, pi, sqrt

from server.domain.routine.estimate import TimeEstimate

PLAN_FREEDOM = 6
"""Assumption, no source: degrees of freedom of the law that a plan stands for."""

SHORTEST_S = 0.05
"""Shorter times are taken as this long: a logarithm needs something above zero."""

MOST_HIGHS = 3.0
"""Assumption, no source: nothing takes longer than so many times what nine in ten stay below."""

T6_NINE_IN_TEN = 1.4397557
"""The 0.9 quantile of Student's t with 6 degrees of freedom (standard tables)."""


def scales(estimate: TimeEstimate) -> tuple[float, float]:
    """The scales below and above the median with which low and high are met once in ten."""
    likely_s = max(estimate.likely_s, SHORTEST_S)
    high_s = max(estimate.high_s, likely_s)
    # A low of zero would be infinitely far away: a twentieth of the likely time stands for it.
    low_s = min(max(estimate.low_s, likely_s / 20), likely_s)
    return log(likely_s / low_s) / T6_NINE_IN_TEN, log(high_s / likely_s) / T6_NINE_IN_TEN


def shared(
    scale: float, low_scale: float, high_scale: float, plan_weight: float
) -> tuple[float, float]:
    """`scale` shared out below and above: as uneven as planned at first, even with many runs."""
    squares = low_scale**2 + high_scale**2
    planned = low_scale**2 / squares if squares else 0.5
    below = plan_weight * planned + (1 - plan_weight) / 2
    return scale * sqrt(2 * below), scale * sqrt(2 * (1 - below))


def lean(low_scale: float, high_scale: float, freedom: float) -> float:
    """Mean less median of the logarithm, which an uneven spread moves apart."""
    return (high_scale - low_scale) * _half_mean(freedom)


@lru_cache(maxsize=256)
def _half_mean(freedom: int) -> float:
    """Half the mean of |t|: Student t has E|t| = 2 sqrt(v) / ((v - 1) B(v/2, 1/2))."""
    beta = exp(lgamma(freedom / 2) - lgamma((freedom + 1) / 2)) * sqrt(pi)
    return sqrt(freedom) / ((freedom - 1) * beta)
