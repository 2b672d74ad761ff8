"""The day of a run: what all of its splits share against their usual times, on the log scale."""

from dataclasses import dataclass

import numpy as np

from server.domain.belief.assumptions import Assumptions
from server.domain.belief.shape import SHORTEST_S
from server.domain.belief.shared_pace import Array

_ROUNDS = 3


@dataclass(frozen=True)
class Day:
    """How much slower a run was than usual, and the variance of that."""

    value: float
    variance: float


def day_of(errors: Array, variance: Array, known: Assumptions) -> Day | None:
    """The mean of the splits' errors under a Student law, found by weighing anew.

    Far errors count less, so that a few segments that were cut make no quick day. None without a
    split; NaN stands for a missing one.
    """
    there = np.isfinite(errors)
    if not there.any():
        return None
    if not there.all():
        errors, variance = errors[there], variance[there]
    ordered = np.sort(errors)
    value = float(ordered[(ordered.size - 1) // 2] + ordered[ordered.size // 2]) / 2
    for _ in range(_ROUNDS):
        heed = (known.tail + 1) / (known.tail + (errors - value) ** 2 / variance) / variance
        value = float(heed @ errors / heed.sum())
    return Day(value, float(1 / heed.sum()))


def day_of_total(total_s: float | None, beside_s: float, expected: float) -> Day | None:
    """The day of a run of which only the total is known; `expected` is its usual logarithm."""
    if total_s is None:
        return None
    return Day(float(np.log(max(total_s - beside_s, SHORTEST_S))) - expected, 0.0)
