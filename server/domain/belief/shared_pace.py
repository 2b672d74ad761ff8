"""The pace that all parts of a run share: several dynamic linear models, averaged.

Each model has a level and a slope on the log scale, what a break has cost that practice has not
taken back yet (rust), and what a break of three weeks costs this person (toll):

    seen  = level + rust + e,           e ~ N(0, V)
    level' = level + slope + w,         w ~ N(0, wander V)
    slope' = damping slope
    rust'  = kept rust + breaks toll + u,  u ~ N(0, breaks spread^2)
    toll'  = toll

with V unknown and `breaks` the length of a break in three weeks, mostly 0. Given V this is the
Kalman filter; V itself has an inverse gamma belief, so that the next run follows a Student t (West
and Harrison, Bayesian Forecasting and Dynamic Models, second edition, sections 4.5 and 7.2 for a
damped slope). The models count by how well they foretold, the older forecasts a little less
(Raftery, Karny and Ettler 2010, Technometrics 52:52). A run far from what was foretold is weighed
down as under a Student law (West 1981, J. R. Stat. Soc. B 43:157).
"""

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from server.domain.base.durations import DAY_MS
from server.domain.belief.assumptions import Assumptions, Movement

Array = NDArray[np.float64]

_THREE_WEEKS = 21.0
_LONGEST_BREAKS = 2.0
"""A break counts as at most so many of three weeks: a clock may be a year off."""

_LEAST_WEIGHT = 1e-12


_LEVEL, _SLOPE, _RUST, _TOLL = range(4)


@dataclass(frozen=True, eq=False)
class Ways:
    """What each model assumes (see `Movement`); `weights` before any run, `step` one run on."""

    wander: Array
    weights: Array
    step: Array


@dataclass(frozen=True, eq=False)
class SharedPace:
    """The models after some runs, a row for each; `cov` in units of V.

    `mean` holds level, slope, rust and toll, `cov` their covariances. V has `freedom` degrees of
    freedom and the estimate `squares / freedom`.
    """

    ways: Ways
    weights: Array
    mean: Array
    cov: Array
    squares: Array
    freedom: Array

    @property
    def variance(self) -> Array:
        """What each model takes for V."""
        return self.squares / self.freedom

    @property
    def level(self) -> Array:
        """Where each model believes the pace to be, rust included."""
        return self.mean[:, _LEVEL] + self.mean[:, _RUST]

    @property
    def level_var(self) -> Array:
        """How far `level` is in doubt, in units of V."""
        reach = self.reach
        return reach[:, _LEVEL] + reach[:, _RUST]

    @property
    def reach(self) -> Array:
        """Covariances of all that a model holds with `level`."""
        return self.cov[:, _LEVEL] + self.cov[:, _RUST]

    @property
    def slope(self) -> Array:
        """By how much each model believes the next run to differ, rust left aside."""
        return self.mean[:, _SLOPE]


@dataclass(frozen=True)
class PaceAhead:
    """What the models together say of the next run: a Student t on the log scale.

    `scale2` is the square of its scale; `level_scale2` the part that is doubt of the level.
    """

    level: float
    scale2: float
    level_scale2: float
    freedom: float


def started(known: Assumptions, level_var: float, day_var: float) -> SharedPace:
    """The models before any run: level 0 with variance `level_var`, V about `day_var`."""
    ways = _ways(known.movements, known.break_kept)
    count = len(known.movements)
    mean, cov = np.zeros((count, 4)), np.zeros((count, 4, 4))
    mean[:, _TOLL] = known.break_toll
    cov[:, _LEVEL, _LEVEL] = level_var / day_var
    cov[:, _SLOPE, _SLOPE] = [each.slope**2 / day_var for each in known.movements]
    cov[:, _TOLL, _TOLL] = known.break_person**2 / day_var
    freedom = np.full(count, known.day_runs)
    return SharedPace(ways, ways.weights, mean, cov, freedom * day_var, freedom)


def moved_on(pace: SharedPace, known: Assumptions, break_days: float = 0.0) -> SharedPace:
    """The models one run later, before it is seen; `break_days` lie between."""
    step = pace.ways.step
    cov = step @ pace.cov @ step.mT
    cov[:, _LEVEL, _LEVEL] += pace.ways.wander
    moved = replace(pace, mean=np.vecdot(step, pace.mean[:, None]), cov=cov)
    return _after_break(moved, known, break_days) if break_days > known.break_days else moved


def _after_break(pace: SharedPace, known: Assumptions, break_days: float) -> SharedPace:
    """The models after days without a run, which cost what breaks have cost this person.

    Which model holds is less sure than before.
    """
    breaks = (break_days - known.break_days) / (_THREE_WEEKS - known.break_days)
    breaks = min(breaks, _LONGEST_BREAKS)
    doubt = known.break_doubt * min(breaks, 1.0)
    step = np.eye(4)
    step[_RUST, _TOLL] = breaks
    cov = step @ pace.cov @ step.T
    cov[:, _RUST, _RUST] += known.break_spread**2 * breaks / pace.variance
    return replace(
        pace,
        weights=(1 - doubt) * pace.weights + doubt * pace.ways.weights,
        mean=pace.mean @ step.T,
        cov=cov,
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
    reach = pace.reach
    level_var = reach[:, _LEVEL] + reach[:, _RUST]
    error = value - pace.level
    spread = level_var + 1 / certainty
    foretold = spread * pace.variance
    squared = error * error / foretold
    weights = _reweighted(pace, squared, foretold, known.memory)
    heed = np.minimum((known.tail + 1) / (known.tail + squared), 1.0) if known.tail else 1.0
    gain = reach / (level_var + 1 / (certainty * heed))[:, None]
    return SharedPace(
        ways=pace.ways,
        weights=weights,
        mean=pace.mean + gain * error[:, None],
        cov=pace.cov - gain[:, :, None] * reach[:, None],
        squares=pace.squares + known.trimmed * heed * error * error / spread,
        freedom=pace.freedom + heed,
    )


@lru_cache(maxsize=16)
def _ways(movements: tuple[Movement, ...], kept: float) -> Ways:
    weights = np.array([each.weight for each in movements])
    step = np.tile(np.diag([1.0, 1.0, kept, 1.0]), (len(movements), 1, 1))
    step[:, _LEVEL, _SLOPE] = 1.0
    step[:, _SLOPE, _SLOPE] = [each.damping for each in movements]
    return Ways(np.array([each.wander for each in movements]), weights / weights.sum(), step)


def _reweighted(pace: SharedPace, squared: Array, foretold: Array, memory: float) -> Array:
    # log Gamma((v + 1) / 2) - log Gamma(v / 2) - log(v / 2) / 2, to 1e-5 from three degrees on
    # (Abramowitz and Stegun 6.1.40); what is alike for all models is left out.
    v = pace.freedom
    log_constant = (1 / (6 * v * v) - 1) / (4 * v)
    log_likelihood = log_constant - 0.5 * np.log(foretold) - (v + 1) / 2 * np.log1p(squared / v)
    logs = memory * np.log(pace.weights) + log_likelihood
    weights: Array = np.exp(logs - logs.max()) + _LEAST_WEIGHT
    shares: Array = weights / weights.sum()
    return shares


def days_between(earlier_ms: int | None, later_ms: int | None) -> float:
    """Days from one moment to another; 0 where one is not known or time runs backwards."""
    if earlier_ms is None or later_ms is None:
        return 0.0
    return max(later_ms - earlier_ms, 0) / DAY_MS
