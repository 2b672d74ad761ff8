"""Control charts: which run was out of the ordinary, and is the level creeping away?

The individuals and moving-range chart takes its spread from neighbouring runs, so that a slow
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

D4 = 3.267
"""Upper limit of the range of two values over its mean, three sigma."""

WIDTH_SIGMA = 3.0
EWMA_WEIGHT = 0.3
LEAST_RUNS = 2
_FADED = 1e-17
"""What is left of a weight when it no longer reaches the last digit."""


@dataclass(frozen=True)
class IndividualsChart:
    """Limits of single times and of the step from each to the next; seconds.

    `signals` and `range_signals` are places outside the limits, counted from 0 in the times; a
    range belongs to the later of its two times.
    """

    center_s: float
    mean_range_s: float
    lower_s: float
    upper_s: float
    range_upper_s: float
    signals: tuple[int, ...]
    range_signals: tuple[int, ...]

    @property
    def sigma_s(self) -> float:
        """The run-to-run standard deviation that the limits rest on."""
        return self.mean_range_s / D2


@dataclass(frozen=True)
class EwmaChart:
    """The exponentially weighted mean after each time, with limits that widen from the start."""

    target_s: float
    sigma_s: float
    values_s: tuple[float, ...]
    half_widths_s: tuple[float, ...]
    """Limits are the target less and plus this; `final_half_width_s` is where it settles."""
    final_half_width_s: float
    signals: tuple[int, ...]


def individuals(times_s: Array) -> IndividualsChart | None:
    """The individuals and moving-range chart of `times_s`; None with fewer than two.

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
        range_upper_s=D4 * mean_range_s,
        signals=_places(np.abs(times_s - center_s) > reach_s),
        range_signals=_places(ranges > D4 * mean_range_s, first=1),
    )


def ewma(
    times_s: Array,
    *,
    target_s: float,
    sigma_s: float,
    weight: float = EWMA_WEIGHT,
    width_sigma: float = WIDTH_SIGMA,
) -> EwmaChart:
    """The EWMA chart of `times_s` about a target, starting from it.

    Half-width after i times: width * sigma * sqrt(w/(2-w) * (1 - (1-w)^(2i))), the exact variance
    rather than the one it settles at (e-Handbook 6.3.2.4; Montgomery, Statistical Quality Control).
    """
    n = times_s.size
    final_s = width_sigma * sigma_s * (weight / (2 - weight)) ** 0.5
    halves_s = final_s * np.sqrt(1 - (1 - weight) ** (2 * np.arange(1, n + 1)))
    offsets_s = _smoothed(times_s - target_s, weight)
    return EwmaChart(
        target_s=target_s,
        sigma_s=sigma_s,
        values_s=tuple((target_s + offsets_s).tolist()),
        half_widths_s=tuple(halves_s.tolist()),
        final_half_width_s=final_s,
        signals=_places(np.abs(offsets_s) > halves_s),
    )


def _smoothed(offsets: Array, weight: float) -> Array:
    """The running weighted mean as a convolution: weights that have faded are left out."""
    length = min(offsets.size, 1 + int(np.log(_FADED) / np.log1p(-weight)))
    weights = weight * (1 - weight) ** np.arange(length)
    smoothed: Array = np.convolve(offsets, weights)[: offsets.size]
    return smoothed


def _places(outside: NDArray[np.bool_], first: int = 0) -> tuple[int, ...]:
    return tuple((np.flatnonzero(outside) + first).tolist())
