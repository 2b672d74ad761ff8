"""Has a time moved of late? One test for a slope and a jump, and how far it went.

The two tests of `trend` and `changes` are made on the latest `WINDOW_RUNS` times and the smaller
chance is doubled. What is then told is not the slope but what both shapes have in common: how
much longer the late runs take than the early ones. That is true of a slope, of a jump and of a
learning curve alike.
"""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from server.domain.drift.changes import LEAST_RUNS, alarm_level, best_split
from server.domain.drift.groups import Difference, difference
from server.domain.drift.laws import Array, normal_quantile
from server.domain.drift.looks import WINDOW_RUNS
from server.domain.drift.ranks import middle
from server.domain.drift.trend import Trend, trend

_PARTS = 3
_LEAST_PART = 4


@dataclass(frozen=True)
class Move:
    """The latest times tested for a move; `p` is the chance of so clear a one in a stable series.

    `early` and `late` say which of the times (counted from 0 in the window) are held against each
    other: the first and last third of a slope, all before and after a jump.
    """

    shape: Literal["slope", "jump"]
    p: float
    trend: Trend
    early: tuple[int, int]
    late: tuple[int, int]
    late_run: int
    """The run at which the late part begins, counted from 0 in the table."""

    def cutoff(self, p: float) -> float:
        """How far from zero the standardised move had to lie for a chance below `p`.

        A jump is the largest over all places, so it had to go further.
        """
        # Two tests were made of each series, so either had half of the chance.
        if self.shape == "jump":
            return alarm_level(self.trend.n, p / 2)
        return normal_quantile(1 - p / 4)


def recent_move(times_s: Array, at_run: Array) -> Move | None:
    """The move of the latest times; None with fewer than eight."""
    y, x = times_s[-WINDOW_RUNS:], at_run[-WINDOW_RUNS:]
    n = y.size
    slope = trend(y, x)
    if slope is None or n < LEAST_RUNS:
        return None
    split = best_split(y)
    p_jump = 1.0 if split is None else split.p
    jumps = split is not None and _steps_fit_better(y, x, split.at, slope)
    part = max(_LEAST_PART, n // _PARTS)
    early, late = (0, part), (n - part, n)
    if split is not None and jumps:
        early, late = (0, split.at), (split.at, n)
    return Move(
        shape="jump" if jumps else "slope",
        p=min(1.0, 2 * min(slope.p, p_jump)),
        trend=slope,
        early=early,
        late=late,
        late_run=int(x[late[0]]),
    )


def extent(move: Move, times_s: Array) -> Difference | None:
    """How much longer the late times are than the early ones."""
    latest = times_s[-WINDOW_RUNS:]
    return difference(latest[slice(*move.late)], latest[slice(*move.early)])


def _steps_fit_better(y: Array, x: Array, at: int, slope: Trend) -> bool:
    """Whether two levels leave less than a line does."""
    line = np.abs(y - slope.intercept_s - slope.slope_s * x).sum()
    steps = sum(np.abs(part - middle(part)).sum() for part in (y[:at], y[at:]))
    return bool(steps < line)
