"""Distributions as rows of values over a grid of scores, from which a simulation draws.

A score is a standard normal quantity. A row holds, for each score of the grid, the value that a
distribution has at the same probability. Drawing is then a look-up, several times cheaper than
drawing from the distribution, and whatever its shape, scores that are correlated make values
that are.
"""

from functools import lru_cache
from statistics import NormalDist

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]

CELLS = 4096
"""Equally likely cells of a drawn score; a random index of 12 bits reaches each."""

CELL_BITS = 12

GRID = 4096
"""Scores of the grid, from -HIGHEST_SCORE to below HIGHEST_SCORE."""

HIGHEST_SCORE = 6.0

STEPS_PER_SCORE = GRID / 2 / HIGHEST_SCORE

MOST_FREEDOM = 120
"""With more degrees of freedom Student's t is tabulated with so many: normal to within 1 %."""

_WIDEST = 12.0
"""Student's t is tabulated to sinh(12), about 81,000 scales: one degree of freedom needs it."""


def middles(count: int) -> Array:
    """The probabilities in the middle of `count` equally likely cells."""
    return (np.arange(count) + 0.5) / count


@lru_cache(maxsize=1)
def grid_probabilities() -> Array:
    """The probability below each score of the grid; a row is a quantile function of these."""
    below = NormalDist().cdf
    return np.array([below(n / STEPS_PER_SCORE - HIGHEST_SCORE) for n in range(GRID)])


@lru_cache(maxsize=8)
def normal_scores(count: int = CELLS) -> Array:
    """Standard normal quantiles in the middle of `count` cells, scaled to a variance of 1."""
    quantile = NormalDist().inv_cdf
    scores = np.array([quantile(float(p)) for p in middles(count)])
    return scores / np.sqrt(np.mean(scores**2)) if count > 1 else scores


@lru_cache(maxsize=64)
def student_row(freedom: int) -> Array:
    """Student's t as a row over the grid."""
    # The upper half mirrors the lower: close to 1, probabilities have lost their last digits.
    lower = np.interp(grid_probabilities()[: GRID // 2 + 1], *_student_cdf(freedom))
    row: Array = np.concatenate([lower, -lower[-2:0:-1]])
    return row


@lru_cache(maxsize=256)
def student_quantile(probability: float, freedom: int) -> float:
    """The quantile of Student's t."""
    return float(np.interp(probability, *_student_cdf(freedom)))


@lru_cache(maxsize=16)
def _student_cdf(freedom: int) -> tuple[Array, Array]:
    """Distribution function and argument, summed up on a grid that is even in arsinh t."""
    freedom = min(freedom, MOST_FREEDOM)
    grid = np.linspace(-_WIDEST, _WIDEST, 6001)
    t = np.sinh(grid)
    density = np.exp(-(freedom + 1) / 2 * np.log1p(t * t / freedom)) * np.cosh(grid)
    area = np.concatenate([[0.0], np.cumsum((density[1:] + density[:-1]) / 2)])
    return area / area[-1], t


def student_chance(t: Array, freedom: int) -> Array:
    """The chance that Student's t lies below each value of `t`."""
    chances, values = _student_cdf(max(freedom, 1))
    below: Array = np.interp(t, values, chances)
    return below
