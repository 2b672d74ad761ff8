"""Level and spread of a time, and how far it lies from the plan.

`spread` tells the same of a handful of runs without NumPy; this is for many runs, with the
robust figures beside the classical ones.
"""

from dataclasses import dataclass

import numpy as np

from server.domain.drift.laws import Array, sign_rank, sign_tail
from server.domain.drift.ranks import middle

RECENT_RUNS = 20
"""Latest runs that a plan is held against: what the presenter does now, not last year."""

ROBUST_SIGMA = 1.4826
"""Makes the median absolute deviation of normal times their standard deviation."""


@dataclass(frozen=True)
class LevelOfTimes:
    """What a series of times comes to; seconds.

    `sd_s` (sample standard deviation) and `robust_sd_s` (from the median absolute deviation) are
    None for a single time.
    """

    n: int
    mean_s: float
    median_s: float
    sd_s: float | None
    robust_sd_s: float | None
    last_s: float


@dataclass(frozen=True)
class OffPlan:
    """The median of the latest runs against the plan; seconds, positive where it takes longer.

    `low_s` and `high_s` are None where so few runs bound no median. `p` is that of the sign test.
    """

    n: int
    off_s: float
    low_s: float | None
    high_s: float | None
    p: float


def level_of(times_s: Array) -> LevelOfTimes | None:
    """Level and spread of `times_s`, oldest first; None where there are none."""
    n = times_s.size
    if not n:
        return None
    median_s = middle(times_s)
    return LevelOfTimes(
        n=n,
        mean_s=float(times_s.mean()),
        median_s=median_s,
        sd_s=float(times_s.std(ddof=1)) if n > 1 else None,
        robust_sd_s=ROBUST_SIGMA * middle(np.abs(times_s - median_s)) if n > 1 else None,
        last_s=float(times_s[-1]),
    )


def off_plan(times_s: Array, planned_s: float, *, level: float = 0.95) -> OffPlan | None:
    """How far the median of the latest runs lies from the plan; None where there are no runs.

    The interval takes nothing for granted of the law of the times: it runs between two of them,
    chosen by the binomial law of signs.
    """
    latest = np.sort(times_s[-RECENT_RUNS:])
    n = latest.size
    if not n:
        return None
    rank = sign_rank(n, level)
    above, below = int(np.sum(latest > planned_s)), int(np.sum(latest < planned_s))
    return OffPlan(
        n=n,
        off_s=middle(latest) - planned_s,
        low_s=None if rank is None else float(latest[rank - 1]) - planned_s,
        high_s=None if rank is None else float(latest[n - rank]) - planned_s,
        p=min(1.0, 2 * sign_tail(above + below, min(above, below))),
    )
