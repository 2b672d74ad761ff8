"""Control charts: which run was out of the ordinary, and is the level creeping away?

The chart of individuals takes its spread from neighbouring runs, so that a slow
drift does not hide itself; the EWMA chart sees small lasting shifts that no single run betrays.

>>> import numpy as np
>>> chart = individuals(np.array([49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1]))
>>> round(chart.lower_s, 3), round(chart.center_s, 2), round(chart.upper_s, 3), chart.signals
(45.816, 50.81, 55.804, ())

Sources: NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2 (individuals) and 6.3.2.4 (EWMA).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from server.domain.drift.laws import Array

D2 = 1.128
"""Mean range of two values over their standard deviation, as tables print it (2/sqrt(pi))."""

WIDTH_SIGMA = 3.0
EWMA_WEIGHT = 0.3
LEAST_RUNS = 2
_FADED = 1e-17
"""What is left of a weight when it no longer reaches the last digit."""


@dataclass(frozen=True)
class IndividualsChart:
    """Limits of single times, seconds; `signals` are places outside, counted from 0."""

    center_s: float
    mean_range_s: float
    lower_s: float
    upper_s: float
    signals: tuple[int, ...]

    @property
    def sigma_s(self) -> float:
        """The run-to-run standard deviation that the limits rest on."""
        return self.mean_range_s / D2


def individuals(times_s: Array) -> IndividualsChart | None:
    """The chart of the individuals of `times_s`; None with fewer than two.

    Limits are the mean less and plus three sigma, sigma being the mean moving range over 1.128.
    With normal times and known limits 0.27 % of a stable series fall outside.
    """
    if times_s.size < LEAST_RUNS:
        return None
    ranges = np.abs(np.diff(times_s))
    center_s, mean_range_s = float(times_s.mean()), float(ranges.mean())
    reach_s = WIDTH_SIGMA * mean_range_s / D2
    return IndividualsChart(
        center_s=center_s,
        mean_range_s=mean_range_s,
        lower_s=center_s - reach_s,
        upper_s=center_s + reach_s,
        signals=_places(np.abs(times_s - center_s) > reach_s),
    )


def ewma_signals(
    times_s: Array, *, target_s: float, sigma_s: float, weight: float = EWMA_WEIGHT
) -> tuple[int, ...]:
    """The places of `times_s` at which the EWMA chart about a target, starting from it, signals."""
    reach_s = ewma_reach(times_s.size, weight) * sigma_s
    return _places(np.abs(smoothed(times_s - target_s, weight)) > reach_s)


def ewma_reach(n: int, weight: float = EWMA_WEIGHT, width_sigma: float = WIDTH_SIGMA) -> Array:
    """Half the width of the EWMA limits after each of `n` values, for a deviation of 1.

    width * sqrt(w/(2-w) * (1 - (1-w)^(2i))), the exact variance after i values rather than the one
    it settles at (e-Handbook 6.3.2.4; Montgomery, Statistical Quality Control).
    """
    settling = 1 - (1 - weight) ** (2 * np.arange(1, n + 1))
    reach: Array = width_sigma * np.sqrt(weight / (2 - weight) * settling)
    return reach


def smoothed(offsets: Array, weight: float = EWMA_WEIGHT) -> Array:
    """The exponentially weighted mean after each offset from a target, starting from none.

    As a convolution: weights that have faded are left out.
    """
    length = min(offsets.size, 1 + int(np.log(_FADED) / np.log1p(-weight)))
    weights = weight * (1 - weight) ** np.arange(length)
    means: Array = np.convolve(offsets, weights)[: offsets.size]
    return means


def _places(outside: NDArray[np.bool_]) -> tuple[int, ...]:
    return tuple((np.flatnonzero(outside)).tolist())
