"""The classical three-point answer, from the critical chain alone and without simulating.

Mean (low + 4 likely + high) / 6 and variance ((high - low) / 6)^2 of each activity, added up along
the chain and taken as normal (Malcolm, Roseboom, Clark and Fazar, "Application of a technique for
research and development program evaluation", Operations Research 7, 1959). Here low and high are
limits, not one in ten. The answer is optimistic wherever two chains meet, because it looks at one
of them only, and it takes every activity for independent: a first glance, never the figure to
plan with.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from statistics import NormalDist

from server.domain.routine.estimate import Estimate


@dataclass(frozen=True)
class ChainTime:
    """The time of a chain, taken as normal."""

    mean_s: float
    sd_s: float

    def chance_by(self, deadline_s: float) -> float:
        """The chance that the chain is over at `deadline_s`."""
        if self.sd_s == 0:
            return float(self.mean_s <= deadline_s)
        return NormalDist(self.mean_s, self.sd_s).cdf(deadline_s)


def mean_s(estimate: Estimate) -> float:
    """The three-point mean of a duration."""
    return (estimate.low_s + 4 * estimate.likely_s + estimate.high_s) / 6


def variance_s2(estimate: Estimate) -> float:
    """The three-point variance of a duration, s²."""
    return ((estimate.high_s - estimate.low_s) / 6) ** 2


def chain_time(chain: Iterable[Estimate]) -> ChainTime:
    """The time of activities that follow one another."""
    estimates = tuple(chain)
    return ChainTime(sum(map(mean_s, estimates)), sum(map(variance_s2, estimates)) ** 0.5)
