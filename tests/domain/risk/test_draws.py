"""Outside check: SciPy's negative binomial distribution for the incidents of a slot."""

import numpy as np
import pytest
from scipy import stats

from server.domain.belief.history import PlannedPart, Run
from server.domain.belief.scores import grid_probabilities
from server.domain.risk.draws import row_of, slots_of, struck_rows
from server.domain.risk.model import model_of
from server.domain.routine.estimate import TimeEstimate
from tests.domain.risk.plans import parts, segment
from tests.domain.shorthand import believe

SLOTS, WIDTH = 102_400, 1664
RUNS = [Run({"a": 30.0, "b": 25.0}, incidents=("b",)), *[Run({"a": 30.0, "b": 10.0})] * 3]
MODEL = model_of(parts(segment("a", 30), segment("b", 10)), RUNS)


def planned(*three):
    """What is believed of a duration before any run."""
    return believe([], {"a": PlannedPart(TimeEstimate(*three))}).parts["a"]


def drawn():
    return list(struck_rows(MODEL).draw(1, SLOTS, WIDTH))


def test_as_many_incidents_are_drawn_as_a_gamma_poisson_rate_gives():
    counts = np.bincount(
        np.concatenate([n * WIDTH + each.slots for n, each in enumerate(drawn())]), minlength=SLOTS
    )
    expected = stats.nbinom(1.5, 7 / 8).pmf([0, 1, 2, 3])
    found = np.bincount(counts)[:4] / SLOTS
    assert found == pytest.approx(expected, abs=4 * 0.5 / np.sqrt(SLOTS))


def test_incidents_lie_within_their_chunk_and_strike_where_they_are_expected():
    strikes = drawn()
    assert len(strikes) == -(-SLOTS // WIDTH)
    assert all(each.slots.max() < WIDTH for each in strikes)
    rows = np.concatenate([each.rows for each in strikes])
    weights = MODEL.incidents.weights
    assert (rows == MODEL.rows["b"]).mean() == pytest.approx(
        weights["b"] / sum(weights.values()), abs=0.01
    )


def test_each_cost_seen_or_assumed_is_drawn_as_often():
    costs = np.concatenate([each.costs_s for each in drawn()])
    values, counts = np.unique(costs, return_counts=True)
    assert values == pytest.approx([5, 10, 15, 20])
    assert counts / len(costs) == pytest.approx([0.25] * 4, abs=0.01)


@pytest.mark.parametrize(("asked", "drawn_slots"), [(0, 128), (1, 128), (128, 128), (129, 256)])
def test_slots_are_drawn_in_whole_groups(asked, drawn_slots):
    assert slots_of(asked) == drawn_slots


@pytest.mark.parametrize("spread_s", [(1, 30, 600), (1, 3, 400), (0, 0.1, 86_400)])
def test_nothing_takes_longer_than_three_times_its_high(spread_s):
    row = row_of(planned(*spread_s))
    assert np.isfinite(row).all()
    # The high of a belief is the plan's to within a percent.
    assert row.max() == pytest.approx(min(3 * spread_s[2], 86_400), rel=0.01)


def test_the_end_of_the_draws_leaves_an_ordinary_duration_alone():
    belief = planned(50, 60, 75)
    # Not once in a thousand slots.
    assert row_of(belief)[grid_probabilities() < 0.999].max() < belief.longest_s
