"""The time of the whole next run: a Student t on the log scale, and what goes wrong on top.

>>> ahead = TotalAhead(log_s=math.log(600), scale=0.02, freedom=8, rate=0.0)
>>> [round(each, 1) for each in ahead.quantiles_s([0.1, 0.5, 0.9])]
[583.5, 600.0, 617.0]
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from server.domain.base.durations import LONGEST_S, TICK_S
from server.domain.belief.scores import student_chance
from server.domain.belief.shape import MOST_HIGHS
from server.domain.routine.rules import RuleSheet

Array = NDArray[np.float64]


_REACH, _POINTS = 9.0, 601
_MOST_COSTS = 16
"""More costs are thinned out to so many: what is told of a run does not change by a tenth."""


@dataclass(frozen=True)
class TotalAhead:
    """The distribution of a run's time as it was believed before it.

    exp(`log_s` + `scale` t) + `beside_s`, t a Student t with `freedom`; and with chance `rate` a
    slot holds incidents that cost one of `costs_s`, each as likely. `beside_s` is what lanes save
    or waiting costs against the sum of the parts.
    """

    log_s: float
    scale: float
    freedom: float
    rate: float
    costs_s: tuple[float, ...] = ()
    beside_s: float = 0.0

    @property
    def median_s(self) -> float:
        """Half of such runs are quicker."""
        return self.quantiles_s([0.5])[0]

    def chances_by(self, times_s: Array) -> Array:
        """The chance of a run of each of these times or less."""
        costs = _thinned(self.costs_s if self.rate else ())
        plain = self._plain(times_s)
        if not costs.size:
            return plain
        struck = self._plain(times_s[..., None] - costs).mean(axis=-1)
        mixed: Array = (1 - self.rate) * plain + self.rate * struck
        return mixed

    def chance_by(self, time_s: float) -> float:
        """The chance of a run of `time_s` or less."""
        return float(self.chances_by(np.array([time_s]))[0])

    def quantiles_s(self, probabilities: Sequence[float]) -> list[float]:
        """The times that a run stays below with these chances."""
        # Even in arsinh t, so that the middle is fine and the tails are reached.
        t = np.sinh(np.linspace(-_REACH, _REACH, _POINTS) / 1.5)
        with np.errstate(over="ignore"):
            times = np.exp(np.clip(self.log_s + self.scale * t, -700, 700)) + self.beside_s
        if self.rate and self.costs_s:
            times = np.sort(np.concatenate([times, times + max(self.costs_s)]))
        found: Array = np.interp(np.asarray(probabilities), self.chances_by(times), times)
        return [float(each) for each in np.maximum(found, 0.0)]

    def penalty(self, rules: RuleSheet) -> float:
        """The points that a run is expected to lose.

        Each stretch begun past slot and grace costs with the chance that the run comes to it. No
        run takes longer than MOST_HIGHS times what nine in ten stay below: exp(t) has no mean.
        """
        end_s = rules.slot_s + rules.grace_s
        longest_s = min(MOST_HIGHS * self.quantiles_s([0.9])[0], LONGEST_S)
        begun_s = np.arange(end_s, max(longest_s, end_s), rules.penalty_every_s)
        points = np.full(begun_s.size, rules.penalty_per_s)
        if rules.penalty_cap is not None:
            points = np.diff(np.minimum(np.arange(begun_s.size + 1.0) * rules.penalty_per_s,
                                        rules.penalty_cap))  # fmt: skip
        later = 1 - self.chances_by(begun_s + TICK_S)
        return float((later * points).sum())

    def _plain(self, times_s: Array) -> Array:
        left = np.maximum(times_s - self.beside_s, math.exp(-700))
        if self.scale == 0:
            certain: Array = (left >= math.exp(self.log_s)).astype(np.float64)
            return certain
        return student_chance((np.log(left) - self.log_s) / self.scale, round(self.freedom))


def _thinned(costs_s: Sequence[float]) -> Array:
    costs: Array = np.sort(np.array(costs_s, dtype=np.float64))
    if costs.size <= _MOST_COSTS:
        return costs
    middles = (np.arange(_MOST_COSTS) + 0.5) / _MOST_COSTS
    return np.quantile(costs, middles)
