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
from math import exp, lgamma, log, pi, sqrt
from statistics import median

from server.domain.durations import LONGEST_S
from server.domain.risk.estimate import Estimate, around

PLAN_RUNS = 2.0
"""Assumption, no source: the plan's likely time weighs as much as so many runs."""

PLAN_SHAPE = 3.0
"""Assumption, no source: the plan's spread weighs as much as twice so many runs."""

SHORTEST_S = 0.05
"""Shorter times are taken as this long: a logarithm needs something above zero."""

MOST_HIGHS = 3.0
"""Assumption, no source: nothing takes longer than so many times what nine in ten stay below."""

_MOST_LOG = 100.0
"""Far beyond any time, and far below what a floating-point number cannot hold."""

_T6_NINE_IN_TEN = 1.4397557
"""The 0.9 quantile of Student's t with 2 PLAN_SHAPE = 6 degrees of freedom (standard tables)."""


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
    low_scale, high_scale = _scales(estimate)
    spread2 = (low_scale**2 + high_scale**2) / 2
    prior = NormalInverseGamma(
        mean=log(max(estimate.likely_s, SHORTEST_S)) + _lean(low_scale, high_scale, 2 * PLAN_SHAPE),
        weight=PLAN_RUNS,
        shape=PLAN_SHAPE,
        rate=spread2 * PLAN_SHAPE * PLAN_RUNS / (PLAN_RUNS + 1),
    )
    seen = prior.updated([log(max(value, SHORTEST_S)) for value in measured_s])
    low_scale, high_scale = _shared(seen.scale, low_scale, high_scale, PLAN_RUNS / seen.weight)
    freedom = round(2 * seen.shape)
    median_s = exp(seen.mean - _lean(low_scale, high_scale, freedom))
    return Belief(median_s, low_scale, high_scale, freedom, len(measured_s))


def _scales(estimate: Estimate) -> tuple[float, float]:
    """The scales below and above the median with which low and high are met once in ten."""
    likely_s = max(estimate.likely_s, SHORTEST_S)
    high_s = max(estimate.high_s, likely_s)
    # A low of zero would be infinitely far away: a twentieth of the likely time stands for it.
    low_s = min(max(estimate.low_s, likely_s / 20), likely_s)
    return log(likely_s / low_s) / _T6_NINE_IN_TEN, log(high_s / likely_s) / _T6_NINE_IN_TEN


def _shared(
    scale: float, low_scale: float, high_scale: float, plan_weight: float
) -> tuple[float, float]:
    """`scale` shared out below and above: as uneven as planned at first, even with many runs."""
    squares = low_scale**2 + high_scale**2
    planned = low_scale**2 / squares if squares else 0.5
    below = plan_weight * planned + (1 - plan_weight) / 2
    return scale * sqrt(2 * below), scale * sqrt(2 * (1 - below))


def _lean(low_scale: float, high_scale: float, freedom: float) -> float:
    """Mean less median of the logarithm, which an uneven spread moves apart."""
    # Half the mean of |t|: Student t has E|t| = 2 sqrt(v) / ((v - 1) B(v/2, 1/2)).
    beta = exp(lgamma(freedom / 2) - lgamma((freedom + 1) / 2)) * sqrt(pi)
    return (high_scale - low_scale) * sqrt(freedom) / ((freedom - 1) * beta)
