"""Things onto places so that what lies between them is shortest: a quadratic assignment.

Koopmans and Beckmann (Econometrica 25, 1957) with a cost for each thing on each place and one for
each pair of things on a pair of places. Small ones are solved by trying all; others by exchanging
two at a time, the best exchange first even where it is worse, but none back at once (tabu search,
Taillard, Parallel Computing 17, 1991). That proves nothing: the bound of Gilmore (1962) and Lawler
(1963) tells how far from the best it can be at most.
"""

import math
from dataclasses import dataclass
from itertools import permutations

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[np.float64]
Places = NDArray[np.intp]

EVERY = 50_000
"""Of so many ways to place things all are tried."""

EXCHANGES = 400
"""So many exchanges are made; the best arrangement on the way is taken."""

SEED = 1


@dataclass(frozen=True)
class Problem:
    """`single[i, l]` is what thing i costs on place l; `flows[i, j]` how often one goes between
    two things (symmetric, no thing with itself), `distances[l, m]` how far two places are apart.

    `pairs[i, l, j, m]` is what two things cost beside that; it is symmetric in both.
    """

    single: Numbers
    flows: Numbers
    distances: Numbers
    pairs: Numbers

    @property
    def size(self) -> tuple[int, int]:
        """How many things and how many places there are."""
        things, places = self.single.shape
        return things, places


@dataclass(frozen=True)
class Solution:
    """A place for each thing; `is_best` where all ways were tried."""

    places: tuple[int, ...]
    cost: float
    is_best: bool


def cost_of(problem: Problem, places: tuple[int, ...]) -> float:
    """What an arrangement costs."""
    return float(_costs(_between(problem), problem.single, np.array([places], dtype=np.intp))[0])


def arranged(problem: Problem, start: tuple[int, ...]) -> Solution:
    """The best arrangement found, never worse than `start`; the same every time it is asked."""
    things, places = problem.size
    between = _between(problem)
    if math.perm(places, things) <= EVERY:
        every = np.array(list(permutations(range(places), things)), dtype=np.intp)
        costs = _costs(between, problem.single, every)
        best = int(np.argmin(costs))
        return Solution(tuple(map(int, every[best])), float(costs[best]), is_best=True)
    free = [place for place in range(places) if place not in start]
    padded = _padded(between), _padded_single(problem.single)
    held, cost = _searched(*padded, [*start, *free], things)
    return Solution(tuple(held[:things]), cost, is_best=False)


def exchanged(problem: Problem, start: tuple[int, ...], times: int) -> Solution:
    """The arrangement after so many exchanges at the most, each the one that saves most then."""
    things, places = problem.size
    between, single = _padded(_between(problem)), _padded_single(problem.single)
    free = [place for place in range(places) if place not in start]
    held = np.array([*start, *free], dtype=np.intp)
    rows = np.arange(places)
    for _ in range(times):
        alone = single + between[rows, held].sum(axis=0)
        change = _exchanges(between, alone, held)
        one, other = divmod(int(np.argmin(change)), places)
        if not change[one, other] < -1e-9:
            break
        held[[one, other]] = held[[other, one]]
    found = tuple(int(place) for place in held[:things])
    return Solution(found, cost_of(problem, found), is_best=False)


def lower_bound(problem: Problem) -> float:
    """What no arrangement can cost less than; the pairs' own costs must not be negative.

    For a thing on a place its busiest ways go over the shortest distances at best; which places
    they get so is then assigned for all things at once.
    """
    things, places = problem.size
    if not things:
        return 0.0
    others = np.sort(problem.flows, axis=1)[:, ::-1][:, : things - 1]
    apart = problem.distances[~np.eye(places, dtype=bool)].reshape(places, places - 1)
    nearest = np.sort(apart, axis=1)[:, : things - 1]
    at_best = problem.single + 0.5 * others @ nearest.T
    return least_assignment(at_best)[1]


def least_assignment(costs: Numbers) -> tuple[tuple[int, ...], float]:
    """The cheapest column for each row, no column twice, and what they cost together.

    Shortest augmenting paths (Kuhn 1955, Munkres 1957); no more rows than columns.
    """
    rows, columns = costs.shape
    row_price, column_price = np.zeros(rows + 1), np.zeros(columns + 1)
    holder = np.zeros(columns + 1, dtype=np.intp)
    for row in range(1, rows + 1):
        holder[0], column = row, 0
        least = np.full(columns + 1, np.inf)
        came_from = np.zeros(columns + 1, dtype=np.intp)
        done = np.zeros(columns + 1, dtype=bool)
        while holder[column]:
            done[column] = True
            held = holder[column]
            open_ = np.flatnonzero(~done[1:]) + 1
            slack = costs[held - 1, open_ - 1] - row_price[held] - column_price[open_]
            closer = slack < least[open_]
            least[open_[closer]] = slack[closer]
            came_from[open_[closer]] = column
            nearest = open_[np.argmin(least[open_])]
            step = least[nearest]
            row_price[holder[done]] += step
            column_price[done] -= step
            least[~done] -= step
            column = int(nearest)
        while column:
            holder[column] = holder[came_from[column]]
            column = int(came_from[column])
    found = [0] * rows
    for column in range(1, columns + 1):
        if holder[column]:
            found[holder[column] - 1] = column - 1
    return tuple(found), float(sum(costs[row, column] for row, column in enumerate(found)))


def _between(problem: Problem) -> Numbers:
    flows, distances = problem.flows, problem.distances
    return flows[:, None, :, None] * distances[None, :, None, :] + problem.pairs


def _costs(between: Numbers, single: Numbers, many: Places) -> Numbers:
    things = single.shape[0]
    costs = np.zeros(len(many))
    for one in range(things):
        costs += single[one, many[:, one]]
        for other in range(one):
            costs += between[one, many[:, one], other, many[:, other]]
    return costs


def _cost(between: Numbers, single: Numbers, held: Places) -> float:
    return float(_costs(between, single, held[None, :])[0])


def _padded(between: Numbers) -> Numbers:
    """The same with a thing of no cost for each free place, so that all moves are exchanges."""
    things, places = between.shape[:2]
    padded = np.zeros((places, places, places, places))
    padded[:things, :, :things, :] = between
    return padded


def _padded_single(single: Numbers) -> Numbers:
    things, places = single.shape
    return np.vstack([single, np.zeros((places - things, places))])


def _searched(
    between: Numbers, single: Numbers, start: list[int], things: int
) -> tuple[list[int], float]:
    held, count = np.array(start, dtype=np.intp), len(start)
    rows, drawn = np.arange(count), np.random.default_rng(SEED)
    cost = _cost(between, single, held)
    best, best_cost = held.copy(), cost
    barred = np.zeros((count, count), dtype=np.intp)
    # What each thing would cost on each place, all others where they are.
    alone = single + between[rows, held].sum(axis=0)
    for turn in range(EXCHANGES):
        change = _exchanges(between, alone, held)
        change[things:, things:] = np.inf
        back = (barred[rows[:, None], held[None, :]] > turn) & (
            barred[rows[None, :], held[:, None]] > turn
        )
        # One that leads to the best so far is never barred.
        change[back & (cost + change > best_cost - 1e-9)] = np.inf
        one, other = divmod(int(np.argmin(change)), count)
        if not np.isfinite(change[one, other]):
            continue
        cost += float(change[one, other])
        for each in (one, other):
            barred[each, held[each]] = turn + int(drawn.integers(count - 2, count + 3))
        here, there = held[one], held[other]
        alone += between[one, there] - between[one, here]
        alone += between[other, here] - between[other, there]
        held[[one, other]] = there, here
        if cost < best_cost - 1e-9:
            best, best_cost = held.copy(), cost
    return [int(place) for place in best], _cost(between, single, best)


def _exchanges(between: Numbers, alone: Numbers, held: Places) -> Numbers:
    """What the exchange of each two things would change."""
    rows = np.arange(len(held))
    now = alone[rows, held]
    one, other = rows[:, None], rows[None, :]
    here, there = held[:, None], held[None, :]
    moved = alone[one, there] - between[one, there, other, there]
    swapped = between[one, there, other, here]
    together = between[one, here, other, there]
    change = moved + moved.T + swapped - now[:, None] - now[None, :] + together
    np.fill_diagonal(change, np.inf)
    return change
