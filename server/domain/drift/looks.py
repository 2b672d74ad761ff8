"""Which segments changed, said as soon as it can be: for sure, or as worth a look.

>>> import numpy as np
>>> random = np.random.default_rng(2)
>>> splits_s = random.normal(40, 2, (12, 16))
>>> splits_s[6:, 3] += 9
>>> [(each.column, each.at, each.tier) for each in looks(splits_s).found]
[(3, 6, 'sure')]

What a run shares throughout is taken off first. Of what is left in each column, and of what was
taken off, all places are looked at where earlier and later times may part; the largest
standardised sum over places counts (as in `changes`, with times instead of ranks, because few
runs in ranks can tell nothing of sixteen segments). How large it may be by chance is found by
shuffling the runs: in a stable history every order is as likely, whatever the laws of the
segments, so that of stable histories `LOOK_ALARMS` at most show anything, `SURE_ALARMS` for sure
(permutation tests with the maximum over all columns, stepping down: Westfall and Young,
Resampling-Based Multiple Testing, 1993, section 2.6).
"""

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from server.domain.base.student import t_quantile
from server.domain.drift.changes import LEAST_RUNS, LEAST_SIDE
from server.domain.drift.laws import Array, normal_quantile
from server.domain.drift.level import ROBUST_SIGMA
from server.domain.drift.multiplicity import chosen_bounds

Tier = Literal["sure", "look"]

SURE_ALARMS, LOOK_ALARMS = 0.01, 0.09
"""How many stable histories may show anything, in each tier."""

WINDOW_RUNS = 40
"""The latest runs that are looked at."""

SHUFFLES = 999
LEAST_SHIFT_S = 0.5
"""A shorter shift is below what a mark made by hand can tell (common practice, no source)."""

WHOLE = -1
"""Stands for what all segments share where a column is asked for."""

_POOL = 16.0
"""How many splits the spread of all segments weighs in the spread that a change is held against;
chosen by simulation for power, the chance of a false alarm does not hang on it."""

_CLIP = 3.0
_TAIL = 5.0
_TOLD = 0.8
_SMALLEST = 1e-4
"""A deviation on the log scale below which times are taken as equal."""
_LEVEL = 0.95
"""Of the intervals; what they really hold is measured in `tests/bench/look_power.py`."""


@dataclass(frozen=True)
class FoundChange:
    """A column whose times changed before run `at`, counted from 0.

    `shift_s` is how much longer its times are since, beyond what the whole run did, with the
    bounds of a 95 % interval; `p` the chance that any column of a stable history stands out as
    much. `column` is WHOLE for what all share: `shift_s` is then that of the whole run.
    """

    column: int
    at: int
    tier: Tier
    shift_s: float
    low_s: float
    high_s: float
    p: float


@dataclass(frozen=True)
class Looks:
    """What stands out in a history, the largest change first, and what so many runs can tell.

    `tellable_s` holds for each column the change, in the middle of these runs, that would be
    named in at least one tier four times in five; empty with too few runs.
    """

    runs: int
    found: tuple[FoundChange, ...] = ()
    tellable_s: tuple[float, ...] = ()

    def of(self, column: int) -> FoundChange | None:
        """What is said of a column."""
        return next((each for each in self.found if each.column == column), None)


def looks(splits_s: Array, shuffles: int = SHUFFLES) -> Looks:
    """What stands out in the latest runs: a row for each, a column for each segment, NaN a gap.

    Columns with fewer than LEAST_RUNS times are not looked at.
    """
    first = max(0, len(splits_s) - WINDOW_RUNS)
    # A run without a split is none here, but keeps its number.
    made = first + np.flatnonzero(np.isfinite(splits_s[first:]).any(axis=1))
    kept = np.flatnonzero(np.isfinite(splits_s[made]).sum(axis=0) >= LEAST_RUNS)
    made = made[np.isfinite(splits_s[made][:, kept]).any(axis=1)]
    latest = splits_s[made]
    if len(latest) < LEAST_RUNS or not kept.size:
        return Looks(len(splits_s))
    table = _table(latest[:, kept])
    order = np.random.default_rng(0).random((shuffles, len(latest))).argsort(axis=1)
    own = _sums(table.left[None], table)
    reached = own.max(axis=1)[0] / table.spread
    chance = np.concatenate(
        [_sums(table.left[rows], table).max(axis=1) / table.spread
         for rows in np.array_split(order, max(1, shuffles * table.left.size // 500_000))]
    )  # fmt: skip
    p = _stepped_down(reached, chance)
    limit = float(np.sort(chance.max(axis=1))[int((1 - LOOK_ALARMS) * shuffles)])
    places = own[0].argmax(axis=0) + LEAST_SIDE
    columns = [*kept.tolist(), WHOLE]
    usual_s = np.full(latest.shape[1], np.nan)
    usual_s[kept] = np.nanmedian(latest[:, kept], axis=0)
    found = []
    for row in np.flatnonzero(p <= LOOK_ALARMS).tolist():
        look = _look(table, row, columns[row], int(places[row]), float(p[row]), limit)
        look = replace(_in_seconds(look, usual_s), at=int(made[look.at]))
        if abs(look.shift_s) >= LEAST_SHIFT_S:
            found.append(look)
    found.sort(key=lambda each: -abs(each.shift_s))
    return Looks(len(splits_s), tuple(found), _tellable(table, limit, kept, usual_s))


@dataclass(frozen=True, eq=False)
class _Table:
    """Clipped logarithms about their mean, 0 for a gap, a column for each segment and the whole.

    `known` is where there is a time, `spread` the sum of squares that a change is held against,
    `scale` the deviation of a single time.
    """

    left: Array
    known: NDArray[np.bool_]
    spread: Array
    scale: Array


def _table(splits_s: Array) -> _Table:
    logs = np.log(np.maximum(splits_s, 0.05))
    apart = logs - np.nanmedian(logs, axis=0)
    shared = _shared(apart)
    left = np.column_stack([apart - shared[:, None], shared])
    left = left - np.nanmedian(left, axis=0)
    known = np.isfinite(left)
    count = known.sum(axis=0)
    own2 = np.maximum(ROBUST_SIGMA * np.nanmedian(np.abs(left), axis=0), _SMALLEST) ** 2
    pool2 = np.full(own2.size, np.median(own2[:-1]))
    pool2[-1] = max(_densest_half(left[:, -1]), _SMALLEST) ** 2
    reach = _CLIP * np.sqrt((count * own2 + _POOL / 2 * pool2) / (count + _POOL / 2))
    clipped = np.where(known, np.clip(np.where(known, left, 0.0), -reach, reach), 0.0)
    clipped = np.where(known, clipped - clipped.sum(axis=0) / count, 0.0)
    spread = (clipped**2).sum(axis=0) + _POOL * pool2
    return _Table(clipped, known, spread, np.sqrt(pool2))


def _densest_half(values: Array) -> float:
    """The deviation by the shortest stretch that holds half of the values (a normal law has half
    within 1.349 deviations): two levels do not widen it, as they would the median distance."""
    ordered = np.sort(values)
    half = ordered.size // 2
    return float((ordered[half - 1 :] - ordered[: ordered.size - half + 1]).min()) / 1.349


def _shared(apart: Array) -> Array:
    """What the times of each run share, the far ones counting less."""
    known = np.isfinite(apart)
    shared: Array = np.nanmedian(apart, axis=1)
    scale2 = np.full(apart.shape[1], _SMALLEST**2)
    for _ in range(3):
        error = np.where(known, apart - shared[:, None], 0.0)
        middle = ROBUST_SIGMA * np.nanmedian(np.where(known, np.abs(error), np.nan), axis=0)
        scale2 = np.maximum(middle, _SMALLEST) ** 2
        heed = known * (_TAIL + 1) / (_TAIL + error**2 / scale2) / scale2
        shared = (heed * np.where(known, apart, 0.0)).sum(axis=1) / heed.sum(axis=1)
    return shared


def _sums(left: Array, table: _Table) -> Array:
    """The squared standardised difference of earlier and later times: order, place, column."""
    n = left.shape[1]
    places = slice(LEAST_SIDE - 1, n - LEAST_SIDE)
    sums = np.cumsum(left, axis=1)[:, places]
    # A shuffle moves gaps along; on average they lie evenly, and the law allows any statistic.
    before = np.arange(LEAST_SIDE, n - LEAST_SIDE + 1)[:, None] * (table.known.sum(axis=0) / n)
    count = table.known.sum(axis=0)
    squared: Array = sums * sums * (count / (before * (count - before)))
    return squared


def _stepped_down(reached: Array, chance: Array) -> Array:
    """For each column the chance of so much in any of those that do not stand out more."""
    order = np.argsort(reached)
    largest = np.maximum.accumulate(chance[:, order], axis=1)
    p = (1 + (largest >= reached[order] - 1e-12).sum(axis=0)) / (1 + len(chance))
    stepped = np.empty(reached.size)
    stepped[order] = np.maximum.accumulate(p[::-1])[::-1]
    return stepped


def _look(table: _Table, row: int, column: int, at: int, p: float, limit: float) -> FoundChange:
    """The change of a column as parts of its times, for the moment (see `_in_seconds`)."""
    known = table.known[:, row]
    parts = [table.left[:at, row][known[:at]], table.left[at:, row][known[at:]]]
    shift = float(parts[1].mean() - parts[0].mean())
    within = sum(float(((part - part.mean()) ** 2).sum()) for part in parts)
    freedom = known.sum() - 2 + _POOL / 2
    scale = ((within + _POOL / 2 * float(table.scale[row]) ** 2) / freedom) ** 0.5
    error = scale * (1 / parts[0].size + 1 / parts[1].size) ** 0.5
    error *= t_quantile(0.975, float(freedom)) / normal_quantile(0.975)
    z = shift / error
    # It stands out where its own square is so large a part of the spread it is held against.
    needed = limit / max(1 - limit, 0.05) * (within + _POOL * float(table.scale[row]) ** 2)
    cutoff = (needed * (1 / parts[0].size + 1 / parts[1].size)) ** 0.5 / error
    low, high = chosen_bounds(round(z, 2), round(min(cutoff, abs(z) - 0.01), 2), _LEVEL)
    tier: Tier = "sure" if p <= SURE_ALARMS else "look"
    # What only just stands out is held to be mostly chance: it is told in its own interval still.
    low, high = min(shift - (z - low) * error, shift), max(shift + (high - z) * error, shift)
    return FoundChange(column, at, tier, shift, low, high, p)


def _in_seconds(look: FoundChange, usual_s: Array) -> FoundChange:
    whole = look.column == WHOLE
    usual = float(np.nansum(usual_s)) if whole else float(usual_s[look.column])
    # The usual time is the middle of all runs: about half way between before and after.
    before_s = usual / float(np.exp(look.shift_s / 2))
    shift, low, high = (
        before_s * float(np.expm1(part)) for part in (look.shift_s, look.low_s, look.high_s)
    )
    return replace(look, shift_s=shift, low_s=low, high_s=high)


def _tellable(
    table: _Table, limit: float, kept: NDArray[np.intp], usual_s: Array
) -> tuple[float, ...]:
    """The change in the middle that reaches the limit four times in five, for each column."""
    told = np.full(usual_s.size, np.inf)
    n = table.left.shape[0]
    for row, column in enumerate(kept.tolist()):
        # A change adds its own square to the spread it is held against.
        base = float(table.spread[row])
        least2 = limit * base / max(1 - limit, 0.05)
        shift = 2 * (least2**0.5 + normal_quantile(_TOLD) * float(table.scale[row])) / n**0.5
        told[column] = max(LEAST_SHIFT_S, float(usual_s[column]) * float(np.expm1(shift)))
    return tuple(told.tolist())
