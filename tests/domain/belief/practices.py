"""Practice with known truth, as the belief takes it."""

import numpy as np

from server.domain.base.durations import DAY_MS
from server.domain.belief.history import PlannedPart, Run
from server.domain.routine.estimate import TimeEstimate, around


def make_plan(likely_s=(30.0, 60.0, 45.0, 20.0), **more):
    return {f"s{n}": PlannedPart(around(each), **more) for n, each in enumerate(likely_s)}


def make_runs(splits_s, plan=None, *, first_day=0):
    """Runs of these splits, a row for each, two days apart; NaN is a missing mark."""
    runs = []
    for number, row in enumerate(np.asarray(splits_s, dtype=float)):
        kept = {f"s{n}": float(each) for n, each in enumerate(row) if each == each}
        planned = {each: part.estimate.likely_s for each, part in (plan or {}).items()}
        total_s = float(np.nansum(row)) if kept else None
        at_ms = (first_day + 2 * number) * DAY_MS
        runs.append(Run(kept, planned, total_s=total_s, at_ms=at_ms, id=f"r{number}"))
    return runs


def scattered(runs, likely_s=(30.0, 60.0, 45.0, 20.0), *, seed=1, spread=0.05, day=0.02):
    random = np.random.default_rng(seed)
    days = day * random.standard_normal((runs, 1))
    return np.array(likely_s) * np.exp(
        days + spread * random.standard_normal((runs, len(likely_s)))
    )


def surely(low_s, likely_s, high_s):
    return PlannedPart(TimeEstimate(low_s, likely_s, high_s))
