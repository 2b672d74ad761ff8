"""Outside checks: closed forms (sums of normals, the longest of several), SciPy's distributions,
networkx's longest path, and worked networks simulated with PERT-beta durations."""

from math import pi, sqrt

import networkx as nx
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from server.domain.belief.history import Run
from server.domain.belief.scores import GRID, grid_probabilities
from server.domain.risk.activities import Fallback
from server.domain.risk.draws import Draws, rows_of
from server.domain.risk.model import model_of
from server.domain.risk.parts import Parts, network_of
from server.domain.risk.simulate import run_through, simulate
from server.domain.risk.times import schedule
from server.domain.routine.estimate import TimeEstimate
from tests.domain.risk import published
from tests.domain.risk.plans import activities, parts, process, segment
from tests.domain.shorthand import drawn_from, independent, simulate_rows

SLOTS = 100_000


def chain(count):
    return activities({f"{n}": [f"{n - 1}"] if n else [] for n in range(count)})


def beside(count):
    return activities({f"{n}": [] for n in range(count)})


def test_a_sum_of_normals_has_the_mean_and_deviation_of_the_closed_form():
    normals = [stats.norm(50, 3), stats.norm(80, 4), stats.norm(30, 12)]
    finish = simulate_rows(chain(3), drawn_from(*normals), SLOTS).finish_s
    sd = sqrt(3**2 + 4**2 + 12**2)
    assert finish.mean() == pytest.approx(160, abs=4 * sd / sqrt(SLOTS))
    assert finish.std() == pytest.approx(sd, abs=4 * sd / sqrt(2 * SLOTS))


@pytest.mark.parametrize("deadline", [150, 160, 170, 180])
def test_the_chance_of_a_sum_of_normals_lies_within_its_standard_error(deadline):
    normals = [stats.norm(50, 3), stats.norm(80, 4), stats.norm(30, 12)]
    finish = simulate_rows(chain(3), drawn_from(*normals), SLOTS).finish_s
    chance = stats.norm(160, 13).cdf(deadline)
    error = sqrt(chance * (1 - chance) / SLOTS)
    assert (finish <= deadline).mean() == pytest.approx(chance, abs=4 * error)


def test_where_two_normal_paths_meet_the_mean_is_later_than_either():
    # The longer of two independent N(10, 2²) has the mean 10 + 2 / sqrt(pi) (Clark, "The greatest
    # of a finite set of random variables", Operations Research 9, 1961).
    rows = drawn_from(stats.norm(10, 2), stats.norm(10, 2))
    finish = simulate_rows(beside(2), rows, SLOTS).finish_s
    assert finish.mean() == pytest.approx(10 + 2 / sqrt(pi), abs=4 * 1.66 / sqrt(SLOTS))


@pytest.mark.parametrize(("paths", "mean"), [(2, 2 / 3), (3, 3 / 4)])
def test_the_longest_of_uniform_paths_has_the_mean_of_its_order_statistic(paths, mean):
    rows = drawn_from(*[stats.uniform(0, 1)] * paths)
    finish = simulate_rows(beside(paths), rows, SLOTS).finish_s
    assert finish.mean() == pytest.approx(mean, abs=4 * 0.24 / sqrt(SLOTS))


def pert_beta(low, likely, high):
    """The quantiles of the beta distribution that belongs to three-point estimates."""
    if low == high:
        return np.full(GRID, float(low))
    alpha = 1 + 4 * (likely - low) / (high - low)
    return stats.beta(alpha, 6 - alpha, loc=low, scale=high - low).ppf(grid_probabilities())


def simulated(network):
    rows = independent(np.array([pert_beta(*row[1:]) for row in network.values()]))
    return simulate_rows(activities(published.links(network)), rows, SLOTS).finish_s


def test_the_eight_activities_simulated_are_later_than_their_critical_path_says():
    # Reference figures: 200,000 draws by scipy.stats.beta; the critical path says 15 and 0.715.
    finish = simulated(published.EIGHT)
    assert finish.mean() == pytest.approx(15.24, abs=0.03)
    expected = pytest.approx([15.10, 16.67, 17.55], abs=0.03)
    assert np.quantile(finish, [0.5, 0.8, 0.9]) == expected
    assert (finish <= 16).mean() == pytest.approx(0.688, abs=0.005)


def test_the_fourteen_activities_simulated_are_later_than_their_critical_path_says():
    finish = simulated(published.FOURTEEN)
    assert finish.mean() == pytest.approx(51.64, abs=0.03)
    assert np.quantile(finish, 0.9) == pytest.approx(55.77, abs=0.06)
    assert (finish <= 53).mean() == pytest.approx(0.665, abs=0.005)


@st.composite
def random_plans(draw):
    """Segments in any lanes, alongside or not, with a process and any fallback."""
    count = draw(st.integers(2, 8))
    segments = [
        segment(
            f"s{n}",
            draw(st.integers(0, 60)),
            lane=draw(st.sampled_from(["hands", "voice", "both"])),
            alongside=draw(st.booleans()),
            helper=draw(st.integers(0, 5)) == 0,
        )
        for n in range(count)
    ]
    after = draw(st.integers(0, count - 2))
    fallback = draw(st.none() | st.builds(Fallback, *[st.integers(0, 40).map(float)] * 3))
    some = process(
        draw(st.integers(0, 200)), f"s{after}", f"s{draw(st.integers(after + 1, count - 1))}",
        fallback=fallback,
    )  # fmt: skip
    return parts(*segments, processes=[some])


@given(random_plans())
def test_a_simulated_slot_of_certain_durations_is_the_schedule(some):
    network, likely_s = network_of(some), some.likely_s
    plan = schedule(network, likely_s)
    rows = independent(np.array([[likely_s[each.id]] * GRID for each in network.activities]))
    done = simulate_rows(network, rows, 1)
    assert done.finish_s == pytest.approx(np.full(128, plan.finish_s))
    in_time = plan.times["p"].end_s <= plan.times[some.processes[0].before_id].arrival_s + 1e-6
    assert done.needs[0].in_time.all() == in_time


@settings(max_examples=20)
@given(st.integers(0, 2**20))
def test_each_simulated_finish_is_networkx_longest_path(seed):
    rng = np.random.default_rng(seed)
    links = {n: [int(o) for o in range(n) if rng.random() < 0.3] for n in range(12)}
    network = activities({f"{n}": [f"{o}" for o in others] for n, others in links.items()})
    rows = independent(rng.random((12, GRID)))
    draws = Draws(rows, 128, seed)
    (chunk,) = draws
    numbers = {each.id: n for n, each in enumerate(network.activities)}
    finish = run_through(network, numbers, draws).finish_s
    for slot in (0, 50, 127):
        graph = nx.DiGraph()
        for each, others in links.items():
            graph.add_edge(each, "finish", weight=chunk.durations_s[each, slot])
            graph.add_edges_from(
                (other, each, {"weight": chunk.durations_s[other, slot]}) for other in others
            )
        assert finish[slot] == pytest.approx(nx.dag_longest_path_length(graph))


def spread_plan(count=20):
    return parts(*(segment(f"s{n}", planned=TimeEstimate(27, 30, 36)) for n in range(count)))


def test_the_same_model_and_seed_give_the_same_answer_to_the_last_digit():
    model = model_of(spread_plan())
    assert np.array_equal(simulate(model, 5000).finish_s, simulate(model, 5000).finish_s)
    assert not np.array_equal(simulate(model, 5000).finish_s, simulate(model, 5000, 7).finish_s)


@pytest.mark.parametrize("three", [(40, 44, 55), (40, 50, 60), (40, 50, 51), (20, 30, 90)])
def test_low_likely_and_high_of_a_drawn_segment_are_those_of_its_estimate(three):
    finish = simulate(model_of(parts(segment("a", planned=TimeEstimate(*three)))), SLOTS).finish_s
    assert np.quantile(finish, [0.1, 0.5, 0.9]) == pytest.approx(three, rel=0.005)


def test_splits_of_a_slot_are_as_alike_as_the_runs_were():
    model = model_of(spread_plan())
    rows = rows_of(model)
    drawn = np.hstack([chunk.durations_s.copy() for chunk in Draws(rows, 20_000, 1)])
    scores = stats.norm.ppf(stats.rankdata(drawn, axis=1) / (drawn.shape[1] + 1))
    matrix = np.corrcoef(scores)
    alike = matrix[~np.eye(len(matrix), dtype=bool)]
    assert alike.mean() == pytest.approx(model.beliefs["s0"].loading ** 2, abs=0.01)


def test_slow_days_spread_the_finish_more_than_independent_splits_would():
    one = simulate(model_of(spread_plan()), 20_000).finish_s.std()
    alone = simulate(model_of(spread_plan(1)), 20_000).finish_s.std()
    assert one > 1.5 * alone * sqrt(20)


def test_measured_runs_move_the_finish_from_the_plan_to_the_presenter():
    rng = np.random.default_rng(4)
    names = [f"s{n}" for n in range(20)]
    runs = [Run(dict(zip(names, rng.normal(33, 2, 20).tolist(), strict=True))) for _ in range(400)]
    finish = simulate(model_of(spread_plan(), runs), 20_000).finish_s
    assert finish.mean() == pytest.approx(660, rel=0.01)
    # No narrower than the runs scatter; a little wider, because a pace may move on.
    assert 1 <= finish.std() / (2 * sqrt(20)) < 1.2


def test_every_stretch_of_slots_meets_good_and_bad_days():
    means = [
        np.log(chunk.durations_s).mean()
        for chunk in Draws(rows_of(model_of(spread_plan())), SLOTS, 1)
    ]
    # Some 33 days in a chunk; drawn at will, their means would scatter by 0.12 sqrt(0.2 / 33).
    assert np.std(means) < 0.5 * 0.12 * sqrt(0.2 / 33)


def test_a_process_does_not_share_the_presenters_day():
    some = parts(
        segment("a", planned=TimeEstimate(90, 100, 110)),
        segment("c", 10),
        processes=[process(duration=TimeEstimate(50, 60, 75), after="a", before="c")],
    )
    rows = rows_of(model_of(some))
    drawn = np.hstack([chunk.durations_s.copy() for chunk in Draws(rows, 50_000, 1)])
    assert abs(np.corrcoef(drawn[0], drawn[2])[0, 1]) < 0.02


@pytest.mark.parametrize("some", [Parts(), parts(segment("a", 0)), parts(segment("a", 7.5))])
def test_nothing_one_segment_and_a_segment_of_no_time_are_simulated(some):
    finish = simulate(model_of(some), 200).finish_s
    assert len(finish) == 256
    assert np.ptp(finish) == 0
    assert finish[0] == pytest.approx(sum(some.likely_s.values()))


def test_a_fallback_that_is_not_taken_costs_nothing():
    drip = process(15, before="c", fallback=Fallback(cost_s=9))
    some = parts(segment("a", 10), segment("b", 20), segment("c", 5), processes=[drip])
    assert simulate(model_of(some), 128).finish_s[0] == pytest.approx(35)


def test_two_processes_needed_by_one_segment_are_both_waited_for():
    drip, chill = process(60, before="c"), process(90, before="c", name="q")
    some = parts(segment("a", 10), segment("c", 5), processes=[drip, chill])
    done = simulate(model_of(some), 128)
    assert done.finish_s[0] == 105
    waits_s = {need.process_id: need.waits_s[0] for need in done.needs}
    assert waits_s == pytest.approx({"p": 30, "q": 0})
