"""Distributions as rows of values over a grid of scores, from which a simulation draws.

A score is a standard normal quantity. A row holds, for each score of the grid, the value that a
distribution has at the same probability. Drawing is then a look-up, several times cheaper than
drawing from the distribution, and whatever its shape, scores that are correlated make values
that are.
"""

import math
from functools import lru_cache
from statistics import NormalDist

import numpy as np
import numpy.typing as npt
from numpy.polynomial import Chebyshev

from server.domain.base.student import t_cdf, t_quantile

Array = npt.NDArray[np.float64]

CELLS = 4096
"""Equally likely cells of a drawn score; a random index of 12 bits reaches each."""

CELL_BITS = 12

GRID = 4096
"""Scores of the grid, from -HIGHEST_SCORE to below HIGHEST_SCORE."""

HIGHEST_SCORE = 6.0

STEPS_PER_SCORE = GRID / 2 / HIGHEST_SCORE

_STUDENT_STEPS = 400
"""Steps of the table of Student's t from its lowest score to its middle: off by 2 in 1,000 at four
degrees of freedom and less with more."""

_STUDENT_DEGREE = 24


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
    log_chances, values = _student_table(freedom)
    lower = np.sinh(np.interp(np.log(grid_probabilities()[: GRID // 2 + 1]), log_chances, values))
    row: Array = np.concatenate([lower, -lower[-2:0:-1]])
    return row


def student_chance(t: Array, freedom: int) -> Array:
    """The chance that Student's t lies below each value of `t`."""
    log_chances, values = _student_table(max(freedom, 1))
    beside = np.exp(np.interp(-np.arcsinh(np.abs(t)), values, log_chances))
    below: Array = np.where(t < 0, beside, 1 - beside)
    return below


@lru_cache(maxsize=256)
def _student_table(freedom: int) -> tuple[Array, Array]:
    """Logarithm of the chance to lie below, and arsinh of the value, from far below to the middle.

    Both bend little there: a polynomial through a few places of the law tells the rest to within
    1 in 100,000, and between two steps of the table lies nearly a straight line.
    """
    lowest = math.asinh(t_quantile(float(grid_probabilities()[0]), freedom))
    told = Chebyshev.interpolate(
        lambda places: np.log([t_cdf(math.sinh(place), freedom) for place in places]),
        _STUDENT_DEGREE,
        [lowest, 0.0],
    )
    values = np.linspace(lowest, 0.0, _STUDENT_STEPS + 1)
    return told(values), values
