"""The pace that all parts of a run share: several dynamic linear models, averaged.

Each model has a level and a slope, x = (L, b), on the log scale:

    seen = L + e,            e ~ N(0, V)
    L'   = L + b + w,        w ~ N(0, wander V)
    b'   = damping b

with V unknown. Given V this is the Kalman filter; V itself has an inverse gamma belief, so that
the next run follows a Student t (West and Harrison, Bayesian Forecasting and Dynamic Models,
second edition, sections 4.5 and 7.2 for a damped slope). The models count by how well they
foretold, the older forecasts a little less (Raftery, Karny and Ettler 2010, Technometrics 52:52).
A run far from what was foretold is weighed down as under a Student law (West 1981, J. R. Stat.
Soc. B 43:157).
"""

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from server.domain.belief.assumptions import Assumptions, Movement

Array = NDArray[np.float64]

_DAY_MS = 86_400_000
_THREE_WEEKS = 21.0
_LONGEST_BREAKS = 2.0
"""A break counts as at most so many of three weeks: a clock may be a year off."""

_LEAST_WEIGHT = 1e-12


@dataclass(frozen=True, eq=False)
class Ways:
    """What each model assumes (see `Movement`); `weights` before any run."""

    wander: Array
    damping: Array
    weights: Array


@dataclass(frozen=True, eq=False)
class SharedPace:
    """The models after some runs, an entry for each; variances in units of V.

    V has `freedom` degrees of freedom and the estimate `squares / freedom`.
    """

    ways: Ways
    weights: Array
    level: Array
    slope: Array
    level_var: Array
    cross_var: Array
    slope_var: Array
    squares: Array
    freedom: Array

    @property
    def variance(self) -> Array:
        """What each model takes for V."""
        return self.squares / self.freedom


@dataclass(frozen=True)
class PaceAhead:
    """What the models together say of the next run: a Student t on the log scale.

    `scale2` is the square of its scale; `level_scale2` the part that is doubt of the level.
    """

    level: float
    scale2: float
    level_scale2: float
    freedom: float


def started(
    movements: tuple[Movement, ...], level_var: float, day_var: float, runs: float
) -> SharedPace:
    """The models before any run: level 0 with variance `level_var`, V about `day_var`.

    `runs` is how many runs `day_var` weighs.
    """
    count = len(movements)
    ways = _ways(movements)
    return SharedPace(
        ways=ways,
        weights=ways.weights,
        level=np.zeros(count),
        slope=np.zeros(count),
        level_var=np.full(count, level_var / day_var),
        cross_var=np.zeros(count),
        slope_var=np.array([each.slope**2 for each in movements]) / day_var,
        squares=np.full(count, runs * day_var),
        freedom=np.full(count, runs),
    )


def moved_on(pace: SharedPace, known: Assumptions, break_days: float = 0.0) -> SharedPace:
    """The models one run later, before it is seen; `break_days` lie between."""
    damping = pace.ways.damping
    moved = SharedPace(
        ways=pace.ways,
        weights=pace.weights,
        level=pace.level + pace.slope,
        slope=damping * pace.slope,
        level_var=pace.level_var + 2 * pace.cross_var + pace.slope_var + pace.ways.wander,
        cross_var=damping * (pace.cross_var + pace.slope_var),
        slope_var=damping * damping * pace.slope_var,
        squares=pace.squares,
        freedom=pace.freedom,
    )
    return _after_break(moved, known, break_days) if break_days > known.break_days else moved


def _after_break(pace: SharedPace, known: Assumptions, break_days: float) -> SharedPace:
    """The models after days without a run: a step that is not known, which practice takes back.

    Where a model has a slope that fades, the step b comes with the slope -(1 - damping) b, so that
    `break_back` of it is gone in the end. Which model holds is less sure than before.
    """
    breaks = (break_days - known.break_days) / (_THREE_WEEKS - known.break_days)
    breaks = min(breaks, _LONGEST_BREAKS)
    step2 = known.break_spread**2 * breaks / pace.variance
    back = known.break_back * (1 - pace.ways.damping)
    doubt = known.break_doubt * min(breaks, 1.0)
    return replace(
        pace,
        weights=(1 - doubt) * pace.weights + doubt * pace.ways.weights,
        level_var=pace.level_var + step2,
        cross_var=pace.cross_var - back * step2,
        slope_var=pace.slope_var + back * back * step2,
    )


def ahead(pace: SharedPace) -> PaceAhead:
    """What models that have moved on say of the run they stand before."""
    weights, variance = pace.weights, pace.variance
    level = float(weights @ pace.level)
    apart = (pace.level - level) ** 2
    doubt = float(weights @ (variance * pace.level_var + apart))
    return PaceAhead(level, doubt + float(weights @ variance), doubt, float(weights @ pace.freedom))


def seen(pace: SharedPace, value: float, known: Assumptions, certainty: float = 1.0) -> SharedPace:
    """Models that have moved on, after the run they stood before.

    `certainty`, at most 1, is V over the variance that `value` was really measured with: a run
    of which few marks are there says less.
    """
    error = value - pace.level
    spread = pace.level_var + 1 / certainty
    squared = error * error / (spread * pace.variance)
    weights = _reweighted(pace, squared, spread, known.memory)
    heed = np.minimum((known.tail + 1) / (known.tail + squared), 1.0) if known.tail else 1.0
    weighed = pace.level_var + 1 / (certainty * heed)
    level_gain, slope_gain = pace.level_var / weighed, pace.cross_var / weighed
    return SharedPace(
        ways=pace.ways,
        weights=weights,
        level=pace.level + level_gain * error,
        slope=pace.slope + slope_gain * error,
        level_var=pace.level_var - level_gain * pace.level_var,
        cross_var=pace.cross_var - level_gain * pace.cross_var,
        slope_var=pace.slope_var - slope_gain * pace.cross_var,
        squares=pace.squares + known.trimmed * heed * error * error / spread,
        freedom=pace.freedom + heed,
    )


@lru_cache(maxsize=16)
def _ways(movements: tuple[Movement, ...]) -> Ways:
    weights = np.array([each.weight for each in movements])
    return Ways(
        np.array([each.wander for each in movements]),
        np.array([each.damping for each in movements]),
        weights / weights.sum(),
    )


def _reweighted(pace: SharedPace, squared: Array, spread: Array, memory: float) -> Array:
    # log Gamma((v + 1) / 2) - log Gamma(v / 2) - log(v / 2) / 2, to 1e-5 from three degrees on
    # (Abramowitz and Stegun 6.1.40); what is alike for all models is left out.
    v = pace.freedom
    log_constant = 1 / (24 * v**3) - 1 / (4 * v)
    log_likelihood = (
        log_constant - 0.5 * np.log(spread * pace.variance) - (v + 1) / 2 * np.log1p(squared / v)
    )
    logs = memory * np.log(pace.weights) + log_likelihood
    weights: Array = np.exp(logs - logs.max()) + _LEAST_WEIGHT
    shares: Array = weights / weights.sum()
    return shares


def days_between(earlier_ms: int | None, later_ms: int | None) -> float:
    """Days from one moment to another; 0 where one is not known or time runs backwards."""
    if earlier_ms is None or later_ms is None:
        return 0.0
    return max(later_ms - earlier_ms, 0) / _DAY_MS
