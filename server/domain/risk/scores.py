"""Distributions as rows of quantiles, from which a simulation draws by looking up.

A row holds CELLS values: the quantiles in the middle of CELLS equally likely cells. Drawing is
then a random index and a look-up, several times cheaper than drawing from the distribution.
"""

from functools import lru_cache
from statistics import NormalDist

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]

CELLS = 4096
"""Cells of a row; a random index of 12 bits reaches each."""

CELL_BITS = 12

MOST_FREEDOM = 120
"""With more degrees of freedom Student's t is tabulated with so many: normal to within 1 %."""

_WIDEST = 12.0
"""Student's t is tabulated to sinh(12), about 81,000 scales: one degree of freedom needs it."""


def middles(count: int) -> Array:
    """The probabilities in the middle of `count` equally likely cells."""
    return (np.arange(count) + 0.5) / count


@lru_cache(maxsize=8)
def normal_scores(count: int = CELLS) -> Array:
    """Standard normal quantiles in the middle of `count` cells, scaled to a variance of 1."""
    quantile = NormalDist().inv_cdf
    scores = np.array([quantile(float(p)) for p in middles(count)])
    return scores / np.sqrt(np.mean(scores**2)) if count > 1 else scores


@lru_cache(maxsize=64)
def student_scores(freedom: int) -> Array:
    """Student t quantiles in the middle of CELLS cells."""
    values: Array = np.interp(middles(CELLS), *_student_cdf(freedom))
    return values


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
