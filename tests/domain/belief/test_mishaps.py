"""What goes wrong, held against SciPy's negative binomial law: a Poisson count of a gamma rate."""

import pytest
from scipy import stats

from server.domain.belief.assumptions import Assumptions
from server.domain.belief.mishaps import ASSUMED_COSTS_S, Mishaps, incidents_ahead, strikes
from tests.domain.belief.practices import make_plan

KNOWN = Assumptions()
COSTS_S = (4.0, 6.0, 20.0)


@pytest.mark.parametrize(("count", "runs"), [(0, 1), (0, 12), (3, 5), (9, 40)])
def test_the_chance_that_anything_goes_wrong_is_that_of_the_law(count, runs):
    chance, _ = strikes(Mishaps(count=count, costs_s=COSTS_S), runs, KNOWN)
    weight = runs + KNOWN.incident_runs
    law = stats.nbinom(0.5 + count, weight / (weight + 1))
    assert chance == pytest.approx(1 - law.pmf(0))


@pytest.mark.parametrize(("count", "runs"), [(0, 1), (3, 5), (9, 40)])
def test_a_slot_costs_on_average_as_many_incidents_as_there_are(count, runs):
    chance, costs_s = strikes(Mishaps(count=count, costs_s=COSTS_S), runs, KNOWN)
    weight = runs + KNOWN.incident_runs
    expected = stats.nbinom(0.5 + count, weight / (weight + 1)).mean() * sum(COSTS_S) / 3
    assert chance * sum(costs_s) / len(costs_s) == pytest.approx(expected)


def test_without_a_run_nothing_is_said_to_go_wrong():
    assert strikes(Mishaps(), 0, KNOWN) == (0.0, ())
    assert incidents_ahead(Mishaps(), 0, make_plan(), KNOWN).rate == 0.0


def test_an_incident_is_looked_for_where_one_was_and_otherwise_by_length():
    plan = make_plan((30.0, 60.0, 30.0))
    seen = Mishaps(count=2, costs_s=(5.0, 5.0), places=("s0", "s0"))
    weights = incidents_ahead(seen, 5, plan, KNOWN).weights
    assert weights["s0"] - weights["s2"] == pytest.approx(2)
    assert weights["s1"] == pytest.approx(2 * weights["s2"])


@pytest.mark.parametrize(("seen", "assumed"), [((), True), ((4.0, 6.0), True), (COSTS_S, False)])
def test_costs_are_assumed_until_enough_were_seen(seen, assumed):
    ahead = incidents_ahead(Mishaps(count=len(seen), costs_s=seen), 5, make_plan(), KNOWN)
    assert ahead.assumed_costs is assumed
    assert ahead.costs_s == (*seen, *(ASSUMED_COSTS_S if assumed else ()))
