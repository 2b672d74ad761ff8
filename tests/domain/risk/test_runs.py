"""Outside checks: numpy's correlation matrix; the Jeffreys posterior of a Poisson rate."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.domain.risk.runs import (
    ASSUMED_COSTS_S,
    PLAN_CORRELATION,
    Correlation,
    Incidents,
    MeasuredRun,
    clean_splits,
    correlation_of,
    incidents_of,
)

IDS = tuple(f"s{n}" for n in range(8))


def drawn_runs(count, rho, seed=3):
    """Runs whose splits share one factor that makes up `rho` of their variance."""
    rng = np.random.default_rng(seed)
    days = rng.normal(size=(count, 1))
    own = rng.normal(size=(count, len(IDS)))
    splits = np.exp(3 + 0.1 * (np.sqrt(rho) * days + np.sqrt(1 - rho) * own))
    return [MeasuredRun(dict(zip(IDS, row, strict=True))) for row in splits.tolist()]


def test_without_runs_the_assumed_correlation_stands():
    assert correlation_of([], IDS) == Correlation(PLAN_CORRELATION, 0)
    assert correlation_of(drawn_runs(1, 0.5), IDS).plan_weight == 1


@pytest.mark.parametrize("rho", [0.0, 0.3, 0.7])
def test_many_runs_show_the_correlation_they_were_drawn_with(rho):
    found = correlation_of(drawn_runs(2000, rho), IDS)
    assert found.rho == pytest.approx(rho, abs=0.04)
    assert found.plan_weight < 0.01


def test_the_correlation_seen_is_the_mean_of_numpys_matrix():
    runs = drawn_runs(9, 0.5)
    matrix = np.corrcoef([[run.durations_s[each] for run in runs] for each in IDS])
    seen = (matrix.sum() - len(IDS)) / (len(IDS) * (len(IDS) - 1))
    # 9 runs leave 8 degrees of freedom, as many as the assumption weighs.
    assert correlation_of(runs, IDS).rho == pytest.approx((PLAN_CORRELATION + seen) / 2)


@given(st.lists(st.dictionaries(st.sampled_from(IDS), st.floats(0.1, 500)), max_size=6))
def test_runs_with_gaps_give_a_correlation_that_can_be_drawn_from(rows):
    rho = correlation_of([MeasuredRun(row) for row in rows], IDS).rho
    assert 0 <= rho < 1


def test_a_split_in_which_something_went_wrong_is_kept_apart():
    runs = [MeasuredRun({"a": 10, "b": 20}), MeasuredRun({"a": 30, "b": 22}, incidents=("a",))]
    assert clean_splits(runs) == {"a": [10], "b": [20, 22]}


def test_without_runs_nothing_is_expected_to_go_wrong():
    assert incidents_of([], {"a": 10}).rate == 0


def test_the_rate_is_the_jeffreys_posterior_of_the_runs():
    runs = [MeasuredRun({"a": 10.0}, ("a",) * n) for n in (0, 1, 0, 2)]
    assert incidents_of(runs, {"a": 10}).rate == pytest.approx((3 + 0.5) / 4)


def test_an_incident_costs_what_it_was_over_the_usual_time():
    usual = [MeasuredRun({"a": each, "b": 20}) for each in (9.0, 10.0, 11.0)]
    struck = [
        MeasuredRun({"a": 25.0, "b": 20}, ("a",)),
        MeasuredRun({"a": 30.0, "b": 20}, ("a", "a")),
        MeasuredRun({"a": 8.0, "b": 20}, ("a",)),
    ]
    found = incidents_of([*usual, *struck], {"a": 10, "b": 20})
    assert found.costs_s == (15, 10, 10, 0)
    assert not found.assumed_costs


def test_too_few_seen_costs_are_filled_up_with_assumed_ones():
    found = incidents_of([MeasuredRun({"a": 18.0}, ("a", None))], {"a": 10})
    assert found.costs_s == (8, *ASSUMED_COSTS_S)
    assert found.assumed_costs


def test_incidents_are_expected_where_they_were_seen_and_where_the_time_goes():
    runs = [MeasuredRun({"a": 10.0, "b": 30.0}, ("b", "b", "b"))]
    weights = incidents_of(runs, {"a": 10, "b": 30}).weights
    assert weights["a"] / sum(weights.values()) == pytest.approx(0.75 / 6)
    assert weights["b"] == pytest.approx(3 + 2.25)


def test_no_incidents_are_the_default():
    assert Incidents().rate == 0
