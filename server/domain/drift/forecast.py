"""The next run: when it will end, whether that is inside the slot, what it may cost.

>>> import numpy as np
>>> from server.domain.routine.rules import RuleSheet
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

from server.domain.base.durations import LONGEST_S
from server.domain.drift.laws import Array, t_quantile
from server.domain.drift.predictive import LEAST_VALUES, Predictive, predictive
from server.domain.drift.recent import Basis, Sample, samples
from server.domain.routine.rules import RuleSheet

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
    found = samples(totals_s, moments)
    told |= {each.runs: each for sample in found for each in _told_of_one(sample)}
    spoken = [sample for sample in found if sample.values_s.shape[1] >= LEAST_VALUES]
    if spoken:
        told |= {each.runs: each for each in _told(_Outlook.of(spoken), rules)}
    return [told[moment] for moment in moments]


def textbook_interval(values_s: Array, level: float) -> tuple[Array, Array]:
    """Middle and reach, for each row, of the interval for one more value of a normal law.

    Mean and t * s * sqrt(1 + 1/n); two values at least, infinity where a row has fewer than others
    (Montgomery and Runger, Applied Statistics and Probability for Engineers, section 8-7).
    """
    known = np.isfinite(values_s)
    n = known.sum(axis=1)
    mean = np.where(known, values_s, 0.0).sum(axis=1) / n
    offsets = np.where(known, values_s - mean[:, None], 0.0)
    deviation = np.sqrt((offsets * offsets).sum(axis=1) / (n - 1))
    t = np.array([t_quantile(0.5 + level / 2, size - 1) for size in n.tolist()])
    return mean, t * deviation * np.sqrt(1 + 1 / n)


def chance_between(totals_s: Array, low_s: float, high_s: float) -> float | None:
    """The chance that the run after `totals_s` ends from `low_s` to `high_s`; None without two."""
    if totals_s.size < LEAST_VALUES:
        return None
    ahead = predictive(samples(totals_s, [totals_s.size])[0].values_s)
    return max(0.0, float(ahead.chance_by(high_s)[0] - ahead.chance_by(low_s)[0]))


def _without_runs() -> Forecast:
    return Forecast(0, 0, "level", None, (), None, None, None, None, None, CAUTIONS[0])


def _told_of_one(sample: Sample) -> list[Forecast]:
    """What a single run leaves to say; nothing for larger samples."""
    if sample.values_s.shape[1] >= LEAST_VALUES:
        return []
    return [
        replace(_without_runs(), runs=moment, used=1, median_s=total_s, caution=CAUTIONS[1])
        for moment, (total_s,) in zip(
            sample.moments.tolist(), sample.values_s.tolist(), strict=True
        )
    ]


@dataclass(frozen=True)
class _Outlook:
    """Samples of all sizes side by side, so that their distributions are worked out at once."""

    moments: list[int]
    bases: list[Basis]
    values_s: Array
    ahead: Predictive

    @staticmethod
    def of(found: Sequence[Sample]) -> "_Outlook":
        sizes = [sample.values_s.shape[1] for sample in found]
        counts = [len(sample.moments) for sample in found]
        values_s = np.full((sum(counts), max(sizes)), np.inf)
        row = 0
        for sample, count, size in zip(found, counts, sizes, strict=True):
            values_s[row : row + count, :size] = sample.values_s
            row += count
        return _Outlook(
            moments=[moment for sample in found for moment in sample.moments.tolist()],
            bases=[sample.basis for sample in found for _ in sample.moments],
            values_s=values_s,
            ahead=predictive(values_s, np.repeat(sizes, counts)),
        )


def _told(outlook: _Outlook, rules: RuleSheet) -> list[Forecast]:
    ahead = outlook.ahead
    bounds = np.clip(ahead.quantiles_s(_PROBABILITIES), 0, LONGEST_S).T.tolist()
    inside, on_target = ahead.chance_by(rules.slot_s), ahead.chance_by(rules.target_s)
    cut_off = np.zeros(inside.size)
    if rules.cutoff_s is not None:
        cut_off = 1 - ahead.chance_by(rules.cutoff_s)
    penalties = _penalties(outlook, rules)
    middle, reach = textbook_interval(outlook.values_s, 0.95)
    textbook = np.column_stack([middle - reach, middle + reach]).tolist()
    chances = np.column_stack([inside, on_target, cut_off]).tolist()
    used = ahead.sizes.tolist()
    return [
        Forecast(
            runs=moment,
            used=used[row],
            basis=outlook.bases[row],
            median_s=bounds[row][-1],
            intervals=tuple(
                Interval(level, bounds[row][2 * place], bounds[row][2 * place + 1])
                for place, level in enumerate(LEVELS)
            ),
            inside=chances[row][0],
            on_target=chances[row][1],
            cut_off=chances[row][2],
            penalty=penalties.get(moment),
            textbook=Interval(0.95, *textbook[row]),
            caution=CAUTIONS.get(used[row], ""),
        )
        for row, moment in enumerate(outlook.moments)
    ]


def _penalties(outlook: _Outlook, rules: RuleSheet) -> dict[int, float]:
    """Expected penalties of the latest moments, as means over equally likely outcomes."""
    latest = set(sorted(outlook.moments)[-_PENALTIES_KEPT:])
    enough = outlook.ahead.sizes >= LEAST_FOR_PENALTY
    rows = [row for row, moment in enumerate(outlook.moments) if moment in latest and enough[row]]
    some = outlook.ahead.of(np.array(rows, dtype=np.intp))
    outcomes = some.quantiles_s((np.arange(_OUTCOMES) + 0.5) / _OUTCOMES)
    return {
        outlook.moments[row]: sum(map(rules.penalty, totals_s)) / _OUTCOMES
        for row, totals_s in zip(rows, outcomes.T.tolist(), strict=True)
    }
