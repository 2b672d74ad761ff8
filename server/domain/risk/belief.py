"""What is believed of a duration: the plan's estimate, moved towards the measured splits.

The logarithm of a duration is taken as normal with unknown mean and variance; the plan's estimate
is the prior, a normal-inverse-gamma distribution, and each measured split updates it in closed
form (Murphy, "Conjugate Bayesian analysis of the Gaussian distribution", 2007, section 6; Gelman
et al., "Bayesian Data Analysis", section 3.3). The next split then follows a Student t on the log
scale. With no runs one in ten is below the plan's low and one in ten above its high, exactly;
with many runs the belief is the presenter's own distribution.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, log, sqrt
from statistics import median

from server.domain.base.durations import LONGEST_S
from server.domain.belief.shape import SHORTEST_S, lean, scales, shared
from server.domain.risk.estimate import Estimate, around

PLAN_RUNS = 2.0
"""Assumption, no source: the plan's likely time weighs as much as so many runs."""

PLAN_SHAPE = 3.0
"""Assumption, no source: the plan's spread weighs as much as twice so many runs."""


MOST_HIGHS = 3.0
"""Assumption, no source: nothing takes longer than so many times what nine in ten stay below."""

_MOST_LOG = 100.0
"""Far beyond any time, and far below what a floating-point number cannot hold."""


@dataclass(frozen=True)
class NormalInverseGamma:
    """A belief about a normal quantity of unknown mean m and variance v.

    v ~ InverseGamma(shape, rate), and given v, m ~ N(mean, v / weight).
    """

    mean: float
    weight: float
    shape: float
    rate: float

    def updated(self, values: Sequence[float]) -> "NormalInverseGamma":
        """The belief after having seen `values`."""
        n = len(values)
        if n == 0:
            return self
        average = sum(values) / n
        squares = sum((value - average) ** 2 for value in values)
        weight = self.weight + n
        shift = self.weight * n * (average - self.mean) ** 2 / weight
        return NormalInverseGamma(
            mean=(self.weight * self.mean + n * average) / weight,
            weight=weight,
            shape=self.shape + n / 2,
            rate=self.rate + (squares + shift) / 2,
        )

    @property
    def scale(self) -> float:
        """The scale of the Student t, with 2 `shape` degrees of freedom, of the next value."""
        return sqrt(self.rate * (self.weight + 1) / (self.shape * self.weight))


@dataclass(frozen=True)
class Belief:
    """A duration: exp(scale * t) times the median, t a Student t with `freedom` degrees.

    Below the median the scale is `low_scale`, above it `high_scale`. `plan_weight` is the share
    of the median that still comes from the plan; `runs` is the number of splits seen.
    """

    median_s: float
    low_scale: float
    high_scale: float
    freedom: int
    runs: int = 0

    @property
    def plan_weight(self) -> float:
        """How much is still assumption: 1 without runs, towards 0 with many."""
        return PLAN_RUNS / (PLAN_RUNS + self.runs)

    @property
    def estimate(self) -> Estimate:
        """The belief as low, likely and high, to be shown beside the plan's."""
        from server.domain.risk.scores import student_quantile

        nine_in_ten = student_quantile(0.9, self.freedom)
        return Estimate(
            self.median_s * exp(-self.low_scale * nine_in_ten),
            self.median_s,
            self.median_s * exp(min(self.high_scale * nine_in_ten, _MOST_LOG)),
        )

    @property
    def longest_s(self) -> float:
        """The longest that is drawn: a day, or MOST_HIGHS times the high where that is less.

        exp(t) has no mean: without an end, a few draws of a very uneven duration would be all that
        any average tells of.
        """
        return min(MOST_HIGHS * self.estimate.high_s, LONGEST_S)

    def changed_by(self, seconds: float) -> "Belief":
        """The belief about a duration made so much longer: the median moves, the spread with it."""
        median_s = max(self.median_s + seconds, 0.0)
        return Belief(median_s, self.low_scale, self.high_scale, self.freedom, self.runs)


def believe(estimate: Estimate, measured_s: Sequence[float] = ()) -> Belief:
    """The belief about a duration with this estimate after these measured splits."""
    if estimate.high_s == 0 and not measured_s:
        return Belief(0.0, 0.0, 0.0, round(2 * PLAN_SHAPE))
    if estimate.likely_s < SHORTEST_S and measured_s:
        # A plan of no time at all says nothing about how long it takes.
        estimate = around(max(median(measured_s), SHORTEST_S))
    low_scale, high_scale = scales(estimate)
    spread2 = (low_scale**2 + high_scale**2) / 2
    prior = NormalInverseGamma(
        mean=log(max(estimate.likely_s, SHORTEST_S)) + lean(low_scale, high_scale, 2 * PLAN_SHAPE),
        weight=PLAN_RUNS,
        shape=PLAN_SHAPE,
        rate=spread2 * PLAN_SHAPE * PLAN_RUNS / (PLAN_RUNS + 1),
    )
    seen = prior.updated([log(max(value, SHORTEST_S)) for value in measured_s])
    low_scale, high_scale = shared(seen.scale, low_scale, high_scale, PLAN_RUNS / seen.weight)
    freedom = round(2 * seen.shape)
    median_s = exp(seen.mean - lean(low_scale, high_scale, freedom))
    return Belief(median_s, low_scale, high_scale, freedom, len(measured_s))
