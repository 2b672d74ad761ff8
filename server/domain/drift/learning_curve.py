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

Form = Literal["exponential", "power"]
Flags = NDArray[np.bool_]

MARGIN = 6.0
"""Difference of criteria that a stable series and a straight one reach less than once in a hundred
(`tests/domain/drift/test_learning_curve.py`)."""

LEAST_RUNS = 8
FLAT_OVER_RUNS = 10
CLIP_SIGMA = 3.0
"""Residuals beyond this many robust deviations count as this many: one mishap bends no curve."""

_RATES = 16
_ROUNDS = 3
_STEPS = 4
_NO_SPREAD = 1e-12
_LEAST_CLIP_S = 0.01
_LEAST_GAIN_S = 0.001
_GRID_STEP = 0.8
"""A little more than the logarithm of one rate of the grid over the next."""


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


def learning_curves(times_s: Array, numbers: Array) -> list[LearningCurve | None]:
    """The learning curve of each row of `times_s`, a column per run; NaN where a time is missing.

    All rows are fitted at once: missing times have no weight.
    """
    known = np.isfinite(times_s)
    rows = np.flatnonzero(known.sum(axis=1) >= LEAST_RUNS)
    found: list[LearningCurve | None] = [None] * len(times_s)
    if rows.size:
        values = np.where(known, times_s, 0.0)[rows]
        data = _Times(values, known[rows].astype(np.float64), numbers)
        for row, curve in zip(rows.tolist(), _fitted(data), strict=True):
            found[row] = curve
    return found


@dataclass(frozen=True)
class _Times:
    """Times of several series, with 1 where they are known and 0 elsewhere."""

    values: Array
    known: Array
    numbers: Array


@dataclass(frozen=True)
class Fit:
    """Lines through points by least squares, one a row: floor + gain * shape."""

    floor: Array
    gain: Array
    residuals: Array


@dataclass(frozen=True)
class _Curves:
    """A curve for each series: whether it is exponential, its rate, its shape and line on it."""

    exponential: Flags
    rates: Array
    shapes: Array
    fit: Fit


def least_squares(values: Array, weights: Array, shapes: Array) -> Fit:
    """The weighted least-squares line of each row of `values` on that of `shapes`.

    Where a shape does not vary its gain is 0.
    """
    total = weights.sum(axis=1)
    mean_shape = np.vecdot(weights, shapes) / total
    mean = np.vecdot(weights, values) / total
    centred = shapes - mean_shape[:, None]
    weighted = weights * centred
    spread = np.vecdot(weighted, centred)
    cover = np.vecdot(weighted, values)
    gain = np.where(spread > _NO_SPREAD, cover / np.maximum(spread, _NO_SPREAD), 0.0)
    return Fit(mean - gain * mean_shape, gain, values - mean[:, None] - gain[:, None] * centred)


def _fitted(data: _Times) -> list[LearningCurve | None]:
    grids = _grids(data.numbers)
    weights = data.known
    for _ in range(_ROUNDS):
        curves = _best_on_grid(data, weights, grids)
        weights = data.known * _huber(curves.fit.residuals, data.known)
    curves = _refined(data, weights, curves)
    return _judged(data, weights, curves)


def _grids(numbers: Array) -> tuple[Array, Array]:
    """Rates of both forms, exponential first, and the shape for each."""
    slowest = 1 / max(float(numbers[-1]), 2.0)
    exponential, power = np.geomspace(slowest, 2.0, _RATES), np.geomspace(0.05, 3.0, _RATES)
    exponents = [np.outer(exponential, numbers - 1), np.outer(power, np.log(numbers))]
    return np.concatenate([exponential, power]), np.exp(-np.vstack(exponents))


def _best_on_grid(data: _Times, weights: Array, grids: tuple[Array, Array]) -> _Curves:
    """The shape that explains most of each series with a positive gain."""
    rates, shapes = grids
    total = weights.sum(axis=1)
    centred = weights * (data.values - (np.vecdot(weights, data.values) / total)[:, None])
    covers = centred @ shapes.T
    spreads = weights @ (shapes * shapes).T - (weights @ shapes.T) ** 2 / total[:, None]
    falls = (covers > 0) & (spreads > _NO_SPREAD)
    explained = np.where(falls, covers**2 / np.maximum(spreads, _NO_SPREAD), 0.0)
    best = explained.argmax(axis=1)
    fit = least_squares(data.values, weights, shapes[best])
    return _Curves(best < _RATES, rates[best], shapes[best], fit)


def _refined(data: _Times, weights: Array, curves: _Curves) -> _Curves:
    """Curves whose rates leave the least squares: Gauss and Newton's steps from the best rate of
    the grid, no further than to its neighbours, and halved where they overshoot."""
    kind = curves.exponential[:, None]
    exponents = np.where(kind, data.numbers - 1, np.log(data.numbers))
    log_rates = np.log(curves.rates)
    low, high = log_rates - _GRID_STEP, log_rates + _GRID_STEP
    shapes, fit = curves.shapes, curves.fit
    left = np.vecdot(weights, fit.residuals**2)
    step = _newton_step(weights, shapes, fit, exponents, log_rates)
    for _ in range(_STEPS):
        tried = np.clip(log_rates + step, low, high)
        shapes_tried = np.exp(-np.exp(tried)[:, None] * exponents)
        fit_tried = least_squares(data.values, weights, shapes_tried)
        left_tried = np.vecdot(weights, fit_tried.residuals**2)
        better = (left_tried < left) & (fit_tried.gain > 0)
        left, log_rates = np.where(better, left_tried, left), np.where(better, tried, log_rates)
        shapes = np.where(better[:, None], shapes_tried, shapes)
        fit = _chosen(better, fit_tried, fit)
        onward = _newton_step(weights, shapes, fit, exponents, log_rates)
        step = np.where(better, onward, step / 2)
    return _Curves(curves.exponential, np.exp(log_rates), shapes, fit)


def _chosen(better: Flags, one: Fit, other: Fit) -> Fit:
    return Fit(
        np.where(better, one.floor, other.floor),
        np.where(better, one.gain, other.gain),
        np.where(better[:, None], one.residuals, other.residuals),
    )


def _newton_step(
    weights: Array, shapes: Array, fit: Fit, exponents: Array, log_rates: Array
) -> Array:
    """By how much the logarithm of each rate should change: the residuals on the slope of the
    curve by rate, freed of what floor and gain take up of it (Golub and Pereyra 1973)."""
    slopes = (-fit.gain * np.exp(log_rates))[:, None] * exponents * shapes
    free = least_squares(slopes, weights, shapes).residuals
    weighted = weights * free
    spread, cover = np.vecdot(weighted, free), np.vecdot(weighted, fit.residuals)
    step: Array = np.where(spread > _NO_SPREAD, cover / np.maximum(spread, _NO_SPREAD), 0.0)
    return step


def _judged(data: _Times, weights: Array, curves: _Curves) -> list[LearningCurve | None]:
    fit, known = curves.fit, data.known
    spread = _robust_deviations(fit.residuals, known)
    clip = np.maximum(CLIP_SIGMA * spread, _LEAST_CLIP_S)
    level = data.values - (np.vecdot(weights, data.values) / weights.sum(axis=1))[:, None]
    straight = np.broadcast_to(data.numbers, data.values.shape)
    line = least_squares(data.values, weights, straight).residuals
    score = _corrected_criterion(fit.residuals, known, clip, parameters=4)
    over_level = _corrected_criterion(level, known, clip, parameters=2) - score
    over_line = _corrected_criterion(line, known, clip, parameters=3) - score
    runs = int(data.numbers[-1])
    found: list[LearningCurve | None] = []
    for row, gain in enumerate(fit.gain.tolist()):
        form: Form = "exponential" if curves.exponential[row] else "power"
        rate, spread_s = float(curves.rates[row]), float(spread[row])
        curve = LearningCurve(
            form=form,
            floor_s=float(fit.floor[row]),
            gain_s=gain,
            rate=rate,
            spread_s=spread_s,
            over_level=float(over_level[row]),
            over_line=float(over_line[row]),
            flat_from=_flat_from(form, rate, gain, spread_s, runs),
        )
        found.append(curve if gain >= _LEAST_GAIN_S else None)
    return found


def _corrected_criterion(residuals: Array, known: Array, clip: Array, *, parameters: int) -> Array:
    n = known.sum(axis=1)
    clipped = np.minimum(np.abs(residuals), clip[:, None])
    squares = np.vecdot(known * clipped, clipped)
    correction = 2 * parameters * (parameters + 1) / (n - parameters - 1)
    score: Array = n * np.log(np.maximum(squares / n, _NO_SPREAD)) + 2 * parameters + correction
    return score


def _huber(residuals: Array, known: Array) -> Array:
    """Huber's weights: 1 within the clip, falling with distance beyond it."""
    clip = np.maximum(CLIP_SIGMA * _robust_deviations(residuals, known), _LEAST_CLIP_S)[:, None]
    weights: Array = clip / np.maximum(np.abs(residuals), clip)
    return weights


def _robust_deviations(residuals: Array, known: Array) -> Array:
    ordered = np.sort(np.where(known > 0, np.abs(residuals), np.inf), axis=1)
    counts, rows = known.sum(axis=1).astype(np.intp), np.arange(len(known))
    middle = (ordered[rows, (counts - 1) // 2] + ordered[rows, counts // 2]) / 2
    deviations: Array = ROBUST_SIGMA * middle
    return deviations


def _flat_from(form: Form, rate: float, gain: float, spread: float, runs: int) -> int | None:
    def saving(run: int) -> float:
        later = _falling(form, rate, run + FLAT_OVER_RUNS)
        return gain * (_falling(form, rate, run) - later)

    low, high = 1, runs * FLAT_OVER_RUNS
    if saving(high) >= spread / 2:
        return None
    while low < high:
        middle = (low + high) // 2
        low, high = (low, middle) if saving(middle) < spread / 2 else (middle + 1, high)
    return low


def _falling(form: Form, rate: float, run: float) -> float:
    return math.exp(-rate * (run - 1)) if form == "exponential" else run**-rate
