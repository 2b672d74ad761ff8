"""Things onto places: against every arrangement, SciPy's assignment, and published instances.

Nugent, Vollmann and Ruml's instances of 5 and 12 (Operations Research 16, 1968; QAPLIB) are written
down from memory: that their published optima (50, 578) and Gilmore-Lawler bound (493) come out
confirms the tables.
"""

from itertools import permutations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linear_sum_assignment

from server.domain.prepare.station import assignment
from server.domain.prepare.station.assignment import (
    Problem,
    arranged,
    cost_of,
    exchanged,
    least_assignment,
    lower_bound,
)

NUG12 = """
0 5 2 4 1 0 0 6 2 1 1 1 / 5 0 3 0 2 2 2 0 4 5 0 0 / 2 3 0 0 0 0 0 5 5 2 2 2 /
4 0 0 0 5 2 2 10 0 0 5 5 / 1 2 0 5 0 10 0 0 0 5 1 1 / 0 2 0 2 10 0 5 1 1 5 4 0 /
0 2 0 2 0 5 0 10 5 2 3 3 / 6 0 5 10 0 1 10 0 0 0 5 0 / 2 4 5 0 0 1 5 0 0 0 10 10 /
1 5 2 0 5 5 2 0 0 0 5 0 / 1 0 2 5 1 4 3 5 10 5 0 2 / 1 0 2 5 1 0 3 0 10 0 2 0
"""
NUG5 = "0 5 2 4 1 / 5 0 3 0 2 / 2 3 0 0 0 / 4 0 0 0 5 / 1 2 0 5 0"


def table(text):
    return np.array([[float(each) for each in row.split()] for row in text.split("/")])


def of_flows(flows, points):
    distances = [[abs(a - c) + abs(b - d) for c, d in points] for a, b in points]
    size = len(flows)
    return Problem(np.zeros((size, size)), flows, np.array(distances, dtype=float),
                   np.zeros((size,) * 4))  # fmt: skip


@st.composite
def problems(draw, most_things=5, most_places=6):
    things = draw(st.integers(1, most_things))
    places = draw(st.integers(things, most_places))
    drawn = np.random.default_rng(draw(st.integers(0, 10_000)))
    flows = np.triu(drawn.integers(0, 4, (things, things)).astype(float), 1)
    points = drawn.uniform(0, 100, (places, 2))
    pairs = np.zeros((things, places, things, places))
    for one in range(things):
        for other in range(one):
            cost = drawn.choice([0.0, 0.0, 90.0], (places, places))
            pairs[one, :, other, :], pairs[other, :, one, :] = cost, cost.T
    apart = np.linalg.norm(points[:, None] - points[None, :], axis=2)
    return Problem(drawn.uniform(0, 60, (things, places)), flows + flows.T, apart, pairs)


def best_of(problem):
    things, places = problem.size
    return min(cost_of(problem, each) for each in permutations(range(places), things))


@given(problems())
@settings(max_examples=40, deadline=None)
def test_small_ones_are_solved_and_the_bound_is_never_above(problem):
    found = arranged(problem, tuple(range(problem.size[0])))
    assert found.is_best
    assert found.cost == pytest.approx(best_of(problem))
    assert lower_bound(problem) <= found.cost + 1e-6


def test_the_search_finds_the_best_of_eight_things(monkeypatch):
    drawn = np.random.default_rng(3)
    flows = np.triu(drawn.integers(0, 6, (8, 8)).astype(float), 1)
    problem = of_flows(flows + flows.T, [(n % 3, n // 3) for n in range(8)])
    best = arranged(problem, tuple(range(8)))
    monkeypatch.setattr(assignment, "EVERY", 0)
    searched = arranged(problem, tuple(range(8)))
    assert (best.is_best, searched.is_best) == (True, False)
    assert searched.cost == pytest.approx(best.cost)


@pytest.mark.parametrize(
    ("text", "points", "optimum", "bound"),
    [
        (NUG12, [(n // 4, n % 4) for n in range(12)], 578, 493),
        (NUG5, [(0, 0), (0, 1), (1, 0), (1, 1), (1, 2)], 50, 50),
    ],
)
def test_published_instances_come_out(text, points, optimum, bound):
    problem = of_flows(table(text), points)
    found = arranged(problem, tuple(range(len(points))))
    # Each pair is counted once here, twice there.
    assert (2 * found.cost, 2 * lower_bound(problem)) == (optimum, bound)


@given(st.integers(1, 8), st.integers(0, 4), st.integers(0, 10_000))
@settings(max_examples=60, deadline=None)
def test_an_assignment_costs_what_scipy_says(rows, more, seed):
    costs = np.random.default_rng(seed).integers(-20, 50, (rows, rows + more)).astype(float)
    chosen, total = least_assignment(costs)
    assert len(set(chosen)) == rows
    assert total == pytest.approx(costs[linear_sum_assignment(costs)].sum())


@given(problems(6, 8), st.integers(0, 3))
@settings(max_examples=30, deadline=None)
def test_a_few_exchanges_never_cost_more_and_move_few(problem, times):
    start = tuple(range(problem.size[0]))
    found = exchanged(problem, start, times)
    assert found.cost <= cost_of(problem, start) + 1e-9
    assert sum(place != was for place, was in zip(found.places, start, strict=True)) <= 2 * times
