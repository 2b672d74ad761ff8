"""The learning curve: does practice still pay, and where does it flatten?

Two forms are tried, floor + gain * exp(-rate * (n - 1)) and floor + gain * n^(-rate) for the n-th
run. The power law is the classic (Wright 1936, J. Aeronaut. Sci. 3:122; Newell and Rosenbloom
1981), but a single person's times often follow the exponential better (Heathcote, Brown and
Mewhort 2000, Psychon. Bull. Rev. 7:185). A curve is believed only where it beats both a level and
a straight line by `MARGIN` of the corrected Akaike criterion (Hurvich and Tsai 1989, Biometrika
76:297).
"""

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from server.domain.drift.laws import Array
from server.domain.drift.level import ROBUST_SIGMA
from server.domain.drift.ranks import middle

Form = Literal["exponential", "power"]

MARGIN = 6.0
"""Difference of criteria that a stable series and a straight one reach less than once in a hundred
(`tests/domain/drift/test_learning.py`)."""

LEAST_RUNS = 8
FLAT_OVER_RUNS = 10
CLIP_SIGMA = 3.0
"""Residuals beyond this many robust deviations count as this many: one mishap bends no curve."""

_RATES = 16
_ROUNDS = 3
_FINER_ROUNDS = 6
_FURTHEST_RUN = 1_000_000
_AROUND = np.linspace(-1, 1, 9)


@dataclass(frozen=True)
class LearningCurve:
    """The better of two falling curves through the times of runs 1, 2, ...; seconds.

    `over_level` and `over_line` say by how much its criterion beats a level and a straight line.
    `spread_s` is the robust deviation of single runs about it. `flat_from` is the first run after
    which ten more save less than half of that; None where that lies too far ahead to say.
    """

    form: Form
    floor_s: float
    gain_s: float
    rate: float
    spread_s: float
    over_level: float
    over_line: float
    flat_from: int | None

    @property
    def believed(self) -> bool:
        """Whether the curve beats a level and a straight line beyond chance."""
        return min(self.over_level, self.over_line) >= MARGIN

    def time_s(self, run: float) -> float:
        """The time the curve gives the `run`-th run."""
        return self.floor_s + self.gain_s * _falling(self.form, self.rate, run)


@dataclass(frozen=True)
class Fit:
    """A line through points by least squares: floor + gain * shape."""

    floor: float
    gain: float
    residuals: Array


class CurveGrid:
    """The shapes of `runs` runs, computed once for all segments of a routine."""

    def __init__(self, runs: int) -> None:
        self.numbers = np.arange(1.0, runs + 1)
        slowest = 1 / max(runs, 2)
        self.rates: dict[Form, Array] = {
            "exponential": np.geomspace(slowest, 2.0, _RATES),
            "power": np.geomspace(0.05, 3.0, _RATES),
        }
        self.shapes = {form: _shapes(form, self.rates[form], self.numbers) for form in self.rates}

    def at(self, places: NDArray[np.intp]) -> "CurveGrid":
        """The grid where only the runs at `places` are known."""
        if places.size == self.numbers.size:
            return self
        part = CurveGrid.__new__(CurveGrid)
        part.numbers, part.rates = self.numbers[places], self.rates
        part.shapes = {form: shapes[:, places] for form, shapes in self.shapes.items()}
        return part


def learning_curve(times_s: Array, grid: CurveGrid) -> LearningCurve | None:
    """The learning curve of `times_s`, one for each run of `grid`; None where none falls.

    With fewer than eight times, or all equal, none is tried.
    """
    if times_s.size < LEAST_RUNS or np.ptp(times_s) == 0:
        return None
    weights = np.ones(times_s.size)
    for _ in range(_ROUNDS):
        found = _best_shape(times_s, weights, grid)
        if found is None:
            return None
        form, rate, fit = found
        weights = _weights(fit.residuals)
    form, rate, fit = _refined(times_s, weights, grid, form, rate, fit)
    return _judged(times_s, weights, grid.numbers, form, rate, fit)


def _best_shape(times: Array, weights: Array, grid: CurveGrid) -> tuple[Form, float, Fit] | None:
    found: list[tuple[float, Form, float, Array]] = []
    for form, shapes in grid.shapes.items():
        best = _least(times, weights, shapes)
        if best is not None:
            found.append((best[1], form, float(grid.rates[form][best[0]]), shapes[best[0]]))
    if not found:
        return None
    _, form, rate, shape = min(found, key=lambda each: each[0])
    return form, rate, least_squares(times, weights, shape)


def _least(times: Array, weights: Array, shapes: Array) -> tuple[int, float] | None:
    """Which shape leaves the least weighted sum of squares with a positive gain, and how much."""
    total = weights.sum()
    centred = weights * (times - (weights @ times) / total)
    covers = shapes @ centred
    spreads = (shapes * shapes) @ weights - (shapes @ weights) ** 2 / total
    explained = np.where(
        (covers > 0) & (spreads > 1e-12), covers**2 / np.maximum(spreads, 1e-12), 0
    )
    best = int(np.argmax(explained))
    if explained[best] <= 0:
        return None
    return best, float(centred @ times - explained[best])


def _refined(
    times: Array, weights: Array, grid: CurveGrid, form: Form, rate: float, fit: Fit
) -> tuple[Form, float, Fit]:
    """The best rate between its neighbours on the grid, searched ever more finely."""
    step = float(grid.rates[form][1] / grid.rates[form][0])
    for _ in range(_FINER_ROUNDS):
        rates = rate * step**_AROUND
        shapes = _shapes(form, rates, grid.numbers)
        found = _least(times, weights, shapes)
        if found is not None:
            rate, fit = float(rates[found[0]]), least_squares(times, weights, shapes[found[0]])
        step = step**0.4
    return form, rate, fit


def _judged(
    times: Array, weights: Array, numbers: Array, form: Form, rate: float, fit: Fit
) -> LearningCurve:
    spread = _robust_deviation(fit.residuals)
    clip = CLIP_SIGMA * spread if spread > 0 else math.inf
    level = times - (weights @ times) / weights.sum()
    line = least_squares(times, weights, numbers).residuals
    curve_score = _corrected_criterion(fit.residuals, clip, parameters=4)
    flat_from = _flat_from(form, rate, fit.gain, spread, numbers)
    return LearningCurve(
        form=form,
        floor_s=fit.floor,
        gain_s=fit.gain,
        rate=rate,
        spread_s=spread,
        over_level=_corrected_criterion(level, clip, parameters=2) - curve_score,
        over_line=_corrected_criterion(line, clip, parameters=3) - curve_score,
        flat_from=flat_from,
    )


def _corrected_criterion(residuals: Array, clip: float, *, parameters: int) -> float:
    n = residuals.size
    squares = np.minimum(residuals * residuals, clip * clip).sum()
    correction = 2 * parameters * (parameters + 1) / (n - parameters - 1)
    return n * math.log(max(squares / n, 1e-12)) + 2 * parameters + correction


def least_squares(times: Array, weights: Array, shape: Array) -> Fit:
    """The line of weighted least squares of `times` on `shape`, which must vary."""
    total = weights.sum()
    mean_shape, mean_time = (weights @ shape) / total, (weights @ times) / total
    centred = shape - mean_shape
    gain = float((weights * centred) @ times / ((weights * centred) @ centred))
    floor = float(mean_time - gain * mean_shape)
    return Fit(floor, gain, times - floor - gain * shape)


def _weights(residuals: Array) -> Array:
    """Huber's weights: 1 within the clip, falling with distance beyond it."""
    clip = CLIP_SIGMA * _robust_deviation(residuals)
    weights: Array = clip / np.maximum(np.abs(residuals), clip) if clip > 0 else residuals * 0 + 1
    return weights


def _robust_deviation(residuals: Array) -> float:
    return ROBUST_SIGMA * middle(np.abs(residuals))


def _flat_from(form: Form, rate: float, gain: float, spread: float, numbers: Array) -> int | None:
    def saving(run: int) -> float:
        later = _falling(form, rate, run + FLAT_OVER_RUNS)
        return gain * (_falling(form, rate, run) - later)

    low, high = 1, min(int(numbers[-1]) * FLAT_OVER_RUNS, _FURTHEST_RUN)
    if saving(high) >= spread / 2:
        return None
    while low < high:
        middle = (low + high) // 2
        low, high = (low, middle) if saving(middle) < spread / 2 else (middle + 1, high)
    return low


def _falling(form: Form, rate: float, run: float) -> float:
    return math.exp(-rate * (run - 1)) if form == "exponential" else run**-rate


def _shapes(form: Form, rates: Array, numbers: Array) -> Array:
    exponents = numbers - 1 if form == "exponential" else np.log(numbers)
    shapes: Array = np.exp(-np.outer(rates, exponents))
    return shapes
