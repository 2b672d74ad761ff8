"""Which of the latest runs speak for the next one: the level since it last moved, or a trend.

For each moment of the history the last `WINDOW_RUNS` totals before it are looked at. Where their
level has jumped, only the runs since speak; where the last `TREND_RUNS` follow a slope, they are
carried forward along it. A stable series is taken for a jumping one once in a hundred and for a
sloping one three times, which costs half a point of the coverage of its forecasts.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from server.domain.drift.changes import LEAST_RUNS, LEAST_SIDE, alarm_level, standard_sums
from server.domain.drift.laws import Array, normal_quantile
from server.domain.drift.ranks import shared_ranks
from server.domain.drift.trend import kendall_variance

Basis = Literal["level", "change", "trend"]

WINDOW_RUNS = 40
TREND_RUNS = 20
TREND_ALARM = 0.03
_LATE_RUNS = (3, 4)
"""So few runs since a jump that a sum of ranks cannot tell it; all beyond all others can."""
_LEAST_EARLIER = 9


@dataclass(frozen=True)
class Sample:
    """Values exchangeable with the next one, for several moments with equally many of them."""

    moments: NDArray[np.intp]
    """How many runs had been made at each moment."""
    basis: Basis
    values_s: Array
    """A row for each moment."""


def samples(totals_s: Array, moments: Sequence[int]) -> list[Sample]:
    """The samples for forecasts made after so many runs each; a moment needs one run at least."""
    found = []
    counts = np.asarray(moments, dtype=np.intp)
    for size in range(1, WINDOW_RUNS + 1):
        here = counts[counts == size] if size < WINDOW_RUNS else counts[counts >= size]
        if here.size:
            places = here[:, None] - size + np.arange(size)
            found += samples_from(here, totals_s[places])
    return found


def samples_from(moments: NDArray[np.intp], windows: Array) -> list[Sample]:
    """The samples where a row of `windows` holds the latest totals before each moment."""
    if windows.shape[1] < LEAST_RUNS:
        return [Sample(moments, "level", windows)]
    starts = level_starts(windows)
    slopes, follows = _slopes(windows)
    line = follows & ((starts == 0) | _line_fits_better(windows, starts, slopes))
    found = []
    for start in np.unique(starts[~line]):
        rows = np.flatnonzero(~line & (starts == start))
        basis: Basis = "change" if start else "level"
        found.append(Sample(moments[rows], basis, windows[rows][:, start:]))
    rows = np.flatnonzero(line)
    if rows.size:
        found.append(Sample(moments[rows], "trend", _carried(windows[rows], slopes[rows])))
    return found


def level_starts(windows: Array) -> NDArray[np.intp]:
    """Where the present level began within each row: 0 where it never moved.

    By the largest standardised sum of ranks (see `changes`); a jump three or four runs ago is one
    where all of them lie beyond all runs before, at least nine of those.
    """
    n = windows.shape[1]
    distances = np.abs(standard_sums(shared_ranks(windows)))
    places = distances.argmax(axis=1)
    reached = distances[np.arange(places.size), places] > alarm_level(n)
    starts = np.where(reached, places + LEAST_SIDE, 0)
    for late in _LATE_RUNS:
        if n - late >= _LEAST_EARLIER:
            starts = np.where(_all_beyond(windows, n - late), n - late, starts)
    return starts.astype(np.intp)


def _all_beyond(windows: Array, start: int) -> NDArray[np.bool_]:
    earlier, later = windows[:, :start], windows[:, start:]
    above = later.min(axis=1) > earlier.max(axis=1)
    beyond: NDArray[np.bool_] = above | (later.max(axis=1) < earlier.min(axis=1))
    return beyond


def _slopes(windows: Array) -> tuple[Array, NDArray[np.bool_]]:
    """Theil and Sen's slope of the last runs of each row, where Mann and Kendall's test finds one
    (0 elsewhere)."""
    latest = windows[:, -TREND_RUNS:]
    n = latest.shape[1]
    first, second = np.triu_indices(n, 1)
    rises = latest[:, second] - latest[:, first]
    score = np.sum(rises > 0, axis=1) - np.sum(rises < 0, axis=1)
    least = normal_quantile(1 - TREND_ALARM / 2) * np.sqrt(kendall_variance(n, np.empty(0))) + 1
    follows = np.abs(score) > least
    slopes = np.zeros(windows.shape[0])
    if follows.any():
        slopes[follows] = np.median(rises[follows] / (second - first), axis=1)
    return slopes, follows


def _line_fits_better(windows: Array, starts: NDArray[np.intp], slopes: Array) -> NDArray[np.bool_]:
    """Whether a line leaves less than the two levels before and after the jump do."""
    better = np.zeros(starts.size, dtype=np.bool_)
    for row in np.flatnonzero((starts > 0) & (slopes != 0)):
        start = max(0, int(starts[row]) - max(0, windows.shape[1] - TREND_RUNS))
        latest = windows[row, -TREND_RUNS:]
        flat = latest - slopes[row] * np.arange(latest.size)
        steps = [latest[:start], latest[start:]]
        left = sum(float(np.abs(part - np.median(part)).sum()) for part in steps if part.size)
        better[row] = np.abs(flat - np.median(flat)).sum() < left
    return better


def _carried(windows: Array, slopes: Array) -> Array:
    """The last runs carried along their slope to the next one.

    Their scatter is widened by what a line adds to the error of a forecast over what a mean adds:
    the variance of the next value about n fitted ones is 1 + 4/n and not 1 + 1/n, and a line
    takes one more degree of freedom from the residuals.
    """
    latest = windows[:, -TREND_RUNS:]
    n = latest.shape[1]
    carried = latest + slopes[:, None] * np.arange(n, 0, -1)
    widened = ((1 + 4 / n) / (1 - 2 / n) * (1 - 1 / n) / (1 + 1 / n)) ** 0.5
    middle = np.median(carried, axis=1, keepdims=True)
    scattered: Array = middle + widened * (carried - middle)
    return scattered
