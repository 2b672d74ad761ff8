"""Outside checks: shares of a sum of independent normals; chances of the longest of two paths."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from scipy import stats

from server.domain.belief.history import Run
from server.domain.belief.scores import GRID
from server.domain.risk.activities import Fallback
from server.domain.risk.draws import Draws
from server.domain.risk.model import model_of
from server.domain.risk.parts import network_of
from server.domain.risk.passage import NetworkPassage
from server.domain.risk.simulate import run_through
from server.domain.risk.simulate import simulate as simulated
from server.domain.risk.trace import Chains
from server.domain.routine.estimate import TimeEstimate
from tests.domain.risk.plans import activities, parts, process, segment
from tests.domain.risk.test_simulate import random_plans
from tests.domain.shorthand import drawn_from, independent, simulate_rows


def test_in_one_chain_each_normal_has_the_share_of_its_variance():
    normals = [stats.norm(50, 3), stats.norm(80, 4), stats.norm(30, 12)]
    network = activities({"a": "", "b": "a", "c": "b"})
    trace = simulate_rows(network, drawn_from(*normals), 400_000).trace
    assert trace.shares[:3] == pytest.approx(np.array([9, 16, 144]) / 169, abs=0.01)
    assert sum(trace.shares) == pytest.approx(1)
    assert list(trace.on_chain) == [1, 1, 1]


def test_the_chance_of_being_the_longer_path_is_that_of_the_difference_of_normals():
    network = activities({"a": "", "b": ""})
    trace = simulate_rows(network, drawn_from(stats.norm(10, 3), stats.norm(12, 4)), 400_000).trace
    expected = stats.norm(0, 1).cdf(-2 / 5)
    assert trace.on_chain == pytest.approx([expected, 1 - expected], abs=0.01)


@given(random_plans())
def test_what_lies_on_the_chain_adds_up_to_the_finish(some):
    network = network_of(some)
    rng = np.random.default_rng(7)
    likely_s = np.array([some.likely_s[each.id] for each in network.activities])
    durations_s = likely_s[:, None] * rng.uniform(0.5, 1.5, (len(likely_s), 64))
    passage = NetworkPassage(network, {each.id: n for n, each in enumerate(network.activities)})
    finish_s = passage.finish(durations_s)
    chains = Chains(passage, finish_s)
    assert (durations_s * chains.on).sum(axis=0) + chains.waited_s == pytest.approx(finish_s)


def test_a_process_that_is_always_late_carries_the_risk():
    some = parts(
        segment("a", planned=TimeEstimate(9, 10, 11)),
        segment("b", planned=TimeEstimate(19, 20, 21)),
        segment("c", planned=TimeEstimate(9, 10, 11)),
        processes=[process(duration=TimeEstimate(80, 100, 140), after="a", before="c")],
    )
    done = simulated(model_of(some), 100_000)
    ids = [each.id for each in done.network.activities]
    shares = dict(zip(ids, done.trace.shares, strict=False))
    chances = dict(zip(ids, done.trace.on_chain, strict=True))
    assert shares["p"] > 0.95
    assert (chances["p"], chances["b"]) == (1, 0)


def test_waiting_until_the_fallback_is_set_apart():
    late = Fallback(patience_s=60, cost_s=30)
    drip = process(duration=TimeEstimate(20, 30, 45), after="a", before="c", fallback=late)
    some = parts(segment("a", 10), segment("c", 10), processes=[drip])
    done = simulated(model_of(some), 50_000)
    assert [each.id for each in done.network.activities] == ["a", "p", "c"]
    assert done.trace.shares[1] > 0.5
    assert done.trace.shares[-1] > 0.02


def test_a_fallback_that_is_always_taken_is_no_risk():
    drip = process(500, after="a", before="c", fallback=Fallback(patience_s=60))
    some = parts(segment("a", planned=TimeEstimate(9, 10, 11)), segment("c", 10), processes=[drip])
    shares = simulated(model_of(some), 50_000).trace.shares
    assert shares[0] == pytest.approx(1)
    assert shares[-1] == pytest.approx(0, abs=1e-9)


def test_incidents_have_a_share_of_their_own():
    some = parts(segment("a", planned=TimeEstimate(95, 100, 105)), segment("b", 100))
    runs = [Run({"a": 100.0, "b": 160.0}, incidents=("b",)), Run({"a": 101.0, "b": 100.0})]
    runs += [Run({"a": 99.0, "b": 100.0})] * 2
    done = simulated(model_of(some, runs), 100_000)
    segments, incidents = done.trace.shares[:2], done.trace.shares[-2]
    assert incidents > 0.5
    assert segments.sum() + incidents == pytest.approx(1, abs=0.03)


def test_what_nobody_waits_for_carries_no_risk_even_where_it_is_struck():
    some = parts(
        segment("a", 100),
        segment("b", 5, lane="hands"),
        segment("c", planned=TimeEstimate(80, 90, 100), lane="voice", alongside=True),
        processes=[process(40, after="a", before=None)],
    )
    runs = [Run({"a": 100.0, "b": 9.0, "c": 90.0}, incidents=("b",) * 20)]
    done = simulated(model_of(some, runs), 5000)
    found = dict(
        zip([each.id for each in done.network.activities], done.trace.on_chain, strict=True)
    )
    assert (found["p"], found["b"]) == (0, 0)


def test_where_incidents_are_rare_most_slots_have_none():
    some = parts(segment("a", planned=TimeEstimate(95, 100, 105)))
    model = model_of(some)
    rare = replace(model.incidents, shape=0.5, runs=5000, weights={"a": 1.0})
    struck = simulated(replace(model, told=replace(model.told, incidents=rare)), 2000)
    never = simulated(model, 2000)
    assert (struck.finish_s != never.finish_s).mean() < 0.001


def test_a_run_of_nothing_but_incidents_is_drawn_all_the_same():
    # (runs / (runs + 1)) ^ shape, the chance of none, is too small a number here to be held.
    incidents = [Run({"a": 100.0}, incidents=("a",) * 2000)]
    done = simulated(model_of(parts(segment("a", 100)), incidents), 256)
    assert done.finish_s.min() > 100


def test_a_certain_plan_has_no_shares():
    done = run_through(
        activities({"a": ""}), {"a": 0}, Draws(independent(np.full((1, GRID), 5.0)), 256, 1)
    )
    assert list(done.trace.shares) == [0, 0, 0]
