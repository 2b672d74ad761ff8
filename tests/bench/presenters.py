"""Simulated presenters: what practice may look like, with the truth known beside it.

Sixteen segments of a ten-minute routine; splits scatter by 6 % (log-normal), a day by 1.8 %, in
15 % of runs something goes wrong that costs 12 s on average (exponential) and that nobody notes.
A plan is off by 10 % in a segment and by 4 % as a whole.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

KINDS = ("stable", "learning", "cut", "slowing", "break", "heavy")
NAMES = {
    "stable": "stable",
    "learning": "learning (14 % fading over 5 runs)",
    "cut": "four segments cut by a fifth five runs ago",
    "slowing": "slower by 0.3 % a run",
    "break": "three weeks' break 0 to 3 runs ago, 4 % slower after it, fading over 2 runs",
    "heavy": "heavy-tailed days (Student, 3 degrees of freedom)",
}
SEGMENTS = 16
SPLIT, DAY, STRUCK, COST_S = 0.06, 0.018, 0.15, 12.0


@dataclass(frozen=True)
class Presenters:
    """A row for each presenter: plan, splits of the runs seen, days of all runs, the next total.

    `slot_s` is a slot that the next run may or may not fit; `mean_s` its true mean.
    """

    plan_s: Array
    splits_s: Array
    days: Array
    next_s: Array
    slot_s: Array
    mean_s: Array

    @property
    def totals_s(self) -> Array:
        """The time of each run seen."""
        totals: Array = self.splits_s.sum(axis=2)
        return totals


def presenters(kind: str, runs: int, count: int, seed: int) -> Presenters:
    """`count` presenters of a kind after so many runs."""
    random = np.random.default_rng([seed, KINDS.index(kind), runs])
    lengths = random.uniform(0.4, 1.6, (count, SEGMENTS))
    base = 600 * lengths / lengths.sum(axis=1, keepdims=True)
    off = 0.10 * random.standard_normal((count, SEGMENTS)) + 0.04 * random.standard_normal(
        (count, 1)
    )
    shape = (count, runs + 1)
    shifts, days = _shifts(kind, shape, random)
    scatter = random.standard_t(3, shape) if kind == "heavy" else random.standard_normal(shape)
    usual = np.log(base)[:, None] + shifts
    splits = np.exp(usual + DAY * scatter[..., None] + SPLIT * random.standard_normal(usual.shape))
    struck = random.random(shape) < STRUCK
    costs = random.exponential(COST_S, shape) * struck
    places = random.integers(0, SEGMENTS, shape)
    np.put_along_axis(
        splits,
        places[..., None],
        np.take_along_axis(splits, places[..., None], 2) + costs[..., None],
        2,
    )
    core = np.exp(usual[:, -1]).sum(axis=1)
    return Presenters(
        plan_s=base * np.exp(off),
        splits_s=splits[:, :-1],
        days=days,
        next_s=splits[:, -1].sum(axis=1),
        slot_s=core * (1 + DAY * random.uniform(-1, 2, count)),
        mean_s=core * (1 + SPLIT**2 / 2 + DAY**2 / 2) + STRUCK * COST_S,
    )


def _shifts(kind: str, shape: tuple[int, int], random: np.random.Generator) -> tuple[Array, Array]:
    """What is added to the logarithm of each split, and the day of each run."""
    count, moments = shape
    at = np.arange(moments)
    shifts = np.zeros((count, moments, SEGMENTS))
    days = np.tile(2.0 * at, (count, 1))
    if kind == "learning":
        shifts += np.log1p(0.14 * np.exp(-at / 5))[:, None]
    elif kind == "slowing":
        shifts += (at * np.log(1.003))[:, None]
    elif kind == "cut":
        chosen = random.random((count, SEGMENTS)).argsort(axis=1) < 4
        shifts += np.log(0.8) * chosen[:, None] * (at >= moments - 6)[:, None]
    elif kind == "break":
        since = at - (moments - 1 - random.integers(0, 4, (count, 1)))
        days = days + 21.0 * (since >= 0)
        shifts += np.where(since >= 0, np.log1p(0.04 * np.exp(-since / 2)), 0.0)[..., None]
    return shifts, days
