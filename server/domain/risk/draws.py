"""Random durations for many slots at once, in chunks that fit the processor's cache.

Each part has a row of durations over a grid of scores. Its score in a slot is the sum of the
presenter's day, one factor shared by all, and its own luck; the row gives the duration (a
one-factor Gaussian copula: whatever the shapes of the rows, a slow day is slow throughout). The
day is drawn in strata, a value for GROUP slots, spread so that every stretch of slots meets good
and bad days.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, log

import numpy as np
import numpy.typing as npt

from server.domain.belief.believe import PartBelief
from server.domain.belief.mishaps import Incidents
from server.domain.belief.scores import (
    CELL_BITS,
    CELLS,
    GRID,
    STEPS_PER_SCORE,
    Array,
    middles,
    normal_scores,
    student_row,
)
from server.domain.risk.model import Model

Indexes = npt.NDArray[np.intp]

GROUP = 128
"""Slots that share a value of the presenter's day."""

MOST_INCIDENTS = 60
"""More incidents than these are not drawn in one slot."""

_CHUNK_VALUES = 120_000
"""Durations in a chunk: about one megabyte."""

_ROWS_AT_ONCE = 15

_CHUNKS_AT_ONCE = 8
"""Incidents are few: they are drawn for so many chunks together."""

_GOLDEN = 0.6180339887498949


@dataclass(frozen=True, eq=False)
class Rows:
    """What durations are drawn from, a row of GRID values for each part.

    `loadings` say how strongly each row follows the day, 0 to 1; `reserved` how many rows of
    random numbers are drawn, at least as many as there are rows.
    """

    table: Array
    loadings: Array
    reserved: int

    @property
    def count(self) -> int:
        """The number of rows."""
        return len(self.table)


@dataclass(frozen=True, eq=False)
class Strikes:
    """Incidents of a chunk: in which row and which slot of it, and what each costs."""

    rows: Indexes
    slots: Indexes
    costs_s: Array


@dataclass(frozen=True, eq=False)
class Chunk:
    """Durations in s, a row for each part and a column for each slot, incidents included."""

    durations_s: Array
    strikes: Strikes | None


def rows_of(model: Model) -> Rows:
    """The rows of a model."""
    count = max(model.rows.values(), default=-1) + 1
    table, loadings = np.zeros((count, GRID)), np.zeros(count)
    for part_id, belief in model.beliefs.items():
        table[model.rows[part_id]] = row_of(belief)
        loadings[model.rows[part_id]] = belief.loading
    return Rows(table, loadings, max(model.reserved_rows, count))


def row_of(belief: PartBelief) -> Array:
    """The durations of a belief over the grid, none above the longest that it allows."""
    row = np.zeros(GRID)
    if belief.median_s <= 0:
        return row
    scores = student_row(belief.freedom)
    middle = GRID // 2
    np.multiply(scores[:middle], belief.low_scale, out=row[:middle])
    np.multiply(scores[middle:], belief.high_scale, out=row[middle:])
    # Held to its end before it is raised: what no number can hold would warn on its way.
    np.minimum(row, log(belief.longest_s / belief.median_s), out=row)
    np.exp(row, out=row)
    row *= belief.median_s
    return row


def slots_of(slots: int) -> int:
    """The number of slots that is really drawn: the next multiple of GROUP."""
    return max(1, ceil(slots / GROUP)) * GROUP


class Draws:
    """Chunks of drawn durations; each pass over them draws the same again.

    A chunk's arrays are used anew for the next: copy what shall outlive the step.
    """

    def __init__(
        self, rows: Rows, slots: int, seed: int, struck: "StruckRows | None" = None
    ) -> None:
        self.rows = rows
        self.slots = slots_of(slots)
        self.seed = seed
        self.width = _width(rows.reserved)
        self._struck = struck
        self._own_steps, self._own_offsets = _own_luck(rows.loadings)

    def __iter__(self) -> Iterator[Chunk]:
        numbers = np.random.SFC64(self.seed)
        struck = None
        if self._struck is not None:
            struck = self._struck.draw(self.seed + 1, self.slots, self.width)
        days = _days(self.slots // GROUP)
        for first in range(0, self.slots, self.width):
            width = min(self.width, self.slots - first)
            if first == 0 or width < self.width:
                lookups = np.empty((_ROWS_AT_ONCE, width // GROUP, GROUP), dtype=np.intp)
                durations_s = np.empty((self.rows.count, width))
            cells = self._own_luck_drawn(numbers, width)
            steps = self._of_the_day(days[first // GROUP : (first + width) // GROUP])
            # A few rows at a time: what one step leaves the next finds in the processor's cache.
            for row in range(0, self.rows.count, _ROWS_AT_ONCE):
                some = slice(row, row + _ROWS_AT_ONCE)
                found = lookups[: len(cells[some])]
                self._own_steps.take(cells[some], out=found, mode="clip")
                found += steps[some]
                self.rows.table.take(
                    found.reshape(len(found), width), out=durations_s[some], mode="clip"
                )
            strikes = None if struck is None else next(struck)
            if strikes is not None:
                places = strikes.rows * width + strikes.slots
                np.add.at(durations_s.reshape(-1), places, strikes.costs_s)
            yield Chunk(durations_s, strikes)

    def _own_luck_drawn(self, numbers: np.random.SFC64, width: int) -> npt.NDArray[np.uint16]:
        """The cells of own luck of a chunk, by row, group of slots and slot."""
        # Rows of random numbers are reserved, so that a what-if with more parts meets the same
        # numbers in the rows it shares.
        raw = numbers.random_raw(self.rows.reserved * width // 4).view(np.uint16)
        cells = raw.reshape(self.rows.reserved, width // GROUP, GROUP)[: self.rows.count]
        cells >>= 16 - CELL_BITS
        cells += self._own_offsets[:, None, None]
        return cells

    def _of_the_day(self, days: Array) -> Indexes:
        """Where each row is looked up on these days, but for own luck, in steps of the grid."""
        steps = np.rint(np.outer(self.rows.loadings, days) * STEPS_PER_SCORE).astype(np.intp)
        steps += np.arange(self.rows.count)[:, None] * GRID + GRID // 2
        return steps[:, :, None]


def _own_luck(loadings: Array) -> tuple[Indexes, npt.NDArray[np.uint16]]:
    """Own luck of each cell in steps of the grid, one stretch of cells for each loading in use.

    With it, for each row, where the stretch of its loading begins.
    """
    used, which = np.unique(loadings, return_inverse=True)
    own = np.sqrt(1 - used**2)
    steps = np.rint(np.outer(own, normal_scores()) * STEPS_PER_SCORE).astype(np.intp)
    return steps.ravel(), (which * CELLS).astype(np.uint16)


def _width(rows: int) -> int:
    """Slots in a chunk: as many groups as fit."""
    return max(1, _CHUNK_VALUES // max(rows, 1) // GROUP) * GROUP


def _days(count: int) -> Array:
    """`count` scores of the day, in an order in which any stretch of them is spread out."""
    # The multiples of the golden ratio, modulo 1, leave no large gap at any length.
    ranks = np.argsort(np.argsort(np.arange(count) * _GOLDEN % 1.0))
    spread: Array = normal_scores(count)[ranks]
    return spread


class StruckRows:
    """Draws incidents: how many in a slot, in which rows, at what cost."""

    def __init__(self, incidents: Incidents, rows: Sequence[int], weights: Sequence[float]) -> None:
        self._counts = _count_cells(incidents)
        self._costs_s = np.array(incidents.costs_s)
        self._rows = np.array(rows, dtype=np.intp)
        self._bounds = np.cumsum(weights) / np.sum(weights)

    def draw(self, seed: int, slots: int, width: int) -> Iterator[Strikes | None]:
        """The incidents of one chunk of `width` slots after another; None where there are none."""
        source = np.random.SFC64(seed)
        for first in range(0, slots, width * _CHUNKS_AT_ONCE):
            count = min(width * _CHUNKS_AT_ONCE, slots - first)
            block = self._block(source, count)
            starts = range(0, count, width)
            bounds = np.searchsorted(block.slots, [*starts, count]).tolist()
            for start, (low, high) in zip(starts, pairwise(bounds), strict=True):
                part = slice(low, high)
                yield (
                    None
                    if low == high
                    else Strikes(block.rows[part], block.slots[part] - start, block.costs_s[part])
                )

    def _block(self, source: np.random.SFC64, count: int) -> Strikes:
        raw = source.random_raw(count // 4).view(np.uint16) >> 16 - CELL_BITS
        slots = np.repeat(np.arange(count), self._counts[raw])
        chances = source.random_raw(2 * len(slots)) / 2.0**64
        places, costs = chances[: len(slots)], chances[len(slots) :]
        at = np.minimum(np.searchsorted(self._bounds, places), len(self._rows) - 1)
        cost = (costs * len(self._costs_s)).astype(np.intp) % len(self._costs_s)
        return Strikes(self._rows[at], slots, self._costs_s[cost])


def struck_rows(model: Model) -> StruckRows | None:
    """Where and how often incidents happen in a model; None where they do not."""
    weights = model.incidents.weights or {}
    struck = [(model.rows[each], w) for each, w in weights.items() if each in model.rows and w > 0]
    if not struck or model.incidents.rate == 0:
        return None
    return StruckRows(model.incidents, [row for row, _ in struck], [w for _, w in struck])


def _count_cells(incidents: Incidents) -> npt.NDArray[np.int64]:
    """Incidents in a slot, a value for each of CELLS equally likely cells.

    A Poisson count whose rate is Gamma(shape, runs) is negative binomial:
    P(0) = (runs / (runs + 1))^shape, P(k) = P(k - 1) (shape + k - 1) / (k (runs + 1)).
    """
    chance = (incidents.runs / (incidents.runs + 1)) ** incidents.shape
    bounds, total, count = [chance], chance, 0
    while total < 1 - 0.5 / CELLS and count < MOST_INCIDENTS:
        count += 1
        chance *= (incidents.shape + count - 1) / (count * (incidents.runs + 1))
        total += chance
        bounds.append(total)
    return np.searchsorted(np.array(bounds), middles(CELLS))
