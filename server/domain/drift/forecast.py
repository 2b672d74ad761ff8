"""The next run: when it will end, whether that is inside the slot, what it may cost.

>>> import numpy as np
>>> from server.domain.rules import RuleSheet
>>> rules = RuleSheet(id="r", name="House", slot_s=600, target_s=590)
>>> totals_s = np.array([588.2, 591.0, 597.5, 586.1, 593.3, 589.9, 602.4, 590.7, 585.2, 594.6])
>>> told = forecast(totals_s, rules)
>>> told.used, round(told.median_s, 2), round(told.inside, 2)
(10, 590.85, 0.87)
>>> [(each.level, round(each.low_s), round(each.high_s)) for each in told.intervals]
[(0.8, 585, 602), (0.95, 578, 609)]
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from server.domain.drift.laws import Array, t_quantile
from server.domain.drift.predictive import LEAST_VALUES, Predictive, predictive
from server.domain.drift.recent import Basis, Sample, samples
from server.domain.rules import RuleSheet

LEVELS = (0.8, 0.95)
LEAST_FOR_PENALTY = 5
"""Fewer runs leave the ends so open that an expected penalty is whatever one assumes of them."""

_OUTCOMES = 200
_PENALTIES_KEPT = 20
_PROBABILITIES = np.array([*((1 + side * level) / 2 for level in LEVELS for side in (-1, 1)), 0.5])
"""Low and high end of each level, and the median."""

CAUTIONS = {
    0: "There is no run to go by yet.",
    1: "One run says nothing about how far the next may lie from it.",
    2: "Two runs: the intervals rest on a single difference and the chances on an assumed shape.",
    3: "Three runs: the intervals are wide because little is known, and the chances are rough.",
    4: "Four runs: chances are rough, and a penalty is not worth computing before five.",
}
"""Number of runs a forecast rests on -> what cannot be said with so few."""


@dataclass(frozen=True)
class Interval:
    """The next run ends between these times with chance `level`; seconds."""

    level: float
    low_s: float
    high_s: float


@dataclass(frozen=True)
class Forecast:
    """What is known of the next run, made after `runs` runs and resting on the latest `used`.

    With one run or none there is no distribution: `median_s` is that run or None, the rest is
    empty. `basis` says which runs speak (see `recent`). `inside`, `on_target` and `cut_off` are
    chances; `penalty` is the expected one over all but the most extreme outcome in 400 on either
    side, None with fewer than five runs. It speaks of runs that are finished.
    """

    runs: int
    used: int
    basis: Basis
    median_s: float | None
    intervals: tuple[Interval, ...]
    inside: float | None
    on_target: float | None
    cut_off: float | None
    penalty: float | None
    textbook: Interval | None
    """What mean and deviation would say at 95 % if times were normal; to compare, not to trust."""
    caution: str
    """What cannot be said with so few runs; empty from five on."""

    def interval(self, level: float) -> Interval | None:
        """The interval of that level, where there is one."""
        return next((each for each in self.intervals if each.level == level), None)


def forecast(totals_s: Array, rules: RuleSheet) -> Forecast:
    """The forecast of the run after `totals_s`, oldest first."""
    return forecasts(totals_s, rules, [totals_s.size])[0]


def forecasts(totals_s: Array, rules: RuleSheet, moments: Sequence[int]) -> list[Forecast]:
    """The forecast of the next run as it stood after so many runs each.

    Penalties are computed for the latest twenty moments.
    """
    told = {0: _without_runs()}
    priced = set(sorted(moments)[-_PENALTIES_KEPT:])
    for sample in samples(totals_s, moments):
        told |= {each.runs: each for each in _told(sample, rules, priced)}
    return [told[moment] for moment in moments]


def textbook_interval(values_s: Array, level: float) -> tuple[Array, Array]:
    """Middle and reach, for each row, of the interval for one more value of a normal law.

    Mean and t * s * sqrt(1 + 1/n); two values at least (Montgomery and Runger, Applied Statistics
    and Probability for Engineers, section 8-7).
    """
    n = values_s.shape[1]
    factor = t_quantile(0.5 + level / 2, n - 1) * (1 + 1 / n) ** 0.5
    return values_s.mean(axis=1), factor * values_s.std(axis=1, ddof=1)


def chance_between(totals_s: Array, low_s: float, high_s: float) -> float | None:
    """The chance that the run after `totals_s` ends from `low_s` to `high_s`; None without two."""
    if totals_s.size < LEAST_VALUES:
        return None
    ahead = predictive(samples(totals_s, [totals_s.size])[0].values_s)
    return max(0.0, float(ahead.chance_by(high_s)[0] - ahead.chance_by(low_s)[0]))


def _without_runs() -> Forecast:
    return Forecast(0, 0, "level", None, (), None, None, None, None, None, CAUTIONS[0])


def _told(sample: Sample, rules: RuleSheet, priced: set[int]) -> list[Forecast]:
    used = sample.values_s.shape[1]
    if used < LEAST_VALUES:
        return [
            replace(
                _without_runs(), runs=int(n), used=1, median_s=float(row[0]), caution=CAUTIONS[1]
            )
            for n, row in zip(sample.moments, sample.values_s, strict=True)
        ]
    ahead = predictive(sample.values_s)
    bounds = np.maximum(ahead.quantiles_s(_PROBABILITIES), 0).T.tolist()
    inside, on_target = ahead.chance_by(rules.slot_s), ahead.chance_by(rules.target_s)
    cut_off = np.zeros(inside.size)
    if rules.cutoff_s is not None:
        cut_off = 1 - ahead.chance_by(rules.cutoff_s)
    penalties = _penalties(ahead, sample, rules, priced)
    middle, reach = textbook_interval(sample.values_s, 0.95)
    return [
        Forecast(
            runs=moment,
            used=used,
            basis=sample.basis,
            median_s=bounds[row][-1],
            intervals=tuple(
                Interval(level, bounds[row][2 * place], bounds[row][2 * place + 1])
                for place, level in enumerate(LEVELS)
            ),
            inside=float(inside[row]),
            on_target=float(on_target[row]),
            cut_off=float(cut_off[row]),
            penalty=penalties.get(moment),
            textbook=Interval(
                0.95, float(middle[row] - reach[row]), float(middle[row] + reach[row])
            ),
            caution=CAUTIONS.get(used, ""),
        )
        for row, moment in enumerate(sample.moments.tolist())
    ]


def _penalties(
    ahead: Predictive, sample: Sample, rules: RuleSheet, priced: set[int]
) -> dict[int, float]:
    """Moment -> expected penalty, as the mean over equally likely outcomes."""
    if ahead.size < LEAST_FOR_PENALTY or not priced.intersection(sample.moments.tolist()):
        return {}
    rows = np.flatnonzero(np.isin(sample.moments, list(priced)))
    some = ahead.of(rows)
    middles = (np.arange(_OUTCOMES) + 0.5) / _OUTCOMES
    outcomes = some.quantiles_s(middles)
    return {
        int(moment): sum(map(rules.penalty, totals_s)) / _OUTCOMES
        for moment, totals_s in zip(sample.moments[rows], outcomes.T.tolist(), strict=True)
    }
