"""Outside checks: worked networks (see `published`), and networkx's longest path."""

import networkx as nx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.domain.risk.activities import Activity, Fallback, ProcessNeed, build
from server.domain.risk.times import schedule
from tests.domain.risk import published
from tests.domain.risk.plans import activities
from tests.table import table


def worked(network):
    durations = {
        each: published.mean_s(known) for each, known in published.estimates(network).items()
    }
    return schedule(activities(published.links(network)), durations)


def critical(plan):
    return {each for each, times in plan.times.items() if times.critical}


EIGHT_PUBLISHED = {
    # earliest start and finish, latest start and finish, total float
    "A": (0, 2, 0, 2, 0),
    "B": (0, 3, 1, 4, 1),
    "C": (2, 4, 2, 4, 0),
    "D": (3, 7, 4, 8, 1),
    "E": (4, 8, 4, 8, 0),
    "F": (4, 7, 10, 13, 6),
    "G": (8, 13, 8, 13, 0),
    "H": (13, 15, 13, 15, 0),
}


@table("each, expected", EIGHT_PUBLISHED.items())
def test_times_and_floats_are_those_of_the_textbook(each, expected):
    times = worked(published.EIGHT).times[each]
    found = (times.start_s, times.end_s, times.latest_start_s, times.latest_end_s)
    assert (*found, times.slack_s) == pytest.approx(expected, abs=0.005)


@pytest.mark.parametrize(
    ("network", "chain", "finish_s"),
    [
        (published.EIGHT, "ACEGH", 15.0),
        (published.FOURTEEN, "ACEHIKMN", 50.833),
        (published.COURSE, "cfh", 44.833),
    ],
)
def test_the_critical_chain_and_the_total_are_the_published_ones(network, chain, finish_s):
    plan = worked(network)
    assert plan.finish_s == pytest.approx(finish_s, abs=0.001)
    assert critical(plan) == set(chain)


@pytest.mark.parametrize(
    ("each", "total"), [("B", 8), ("D", 1.833), ("F", 1.833), ("G", 5), ("J", 2.5), ("L", 2.5)]
)
def test_floats_of_the_fourteen_activities(each, total):
    assert worked(published.FOURTEEN).times[each].slack_s == pytest.approx(total, abs=0.001)


def test_floats_of_the_course_network():
    times = worked(published.COURSE).times
    assert [times[each].slack_s for each in "adg"] == pytest.approx([7.833] * 3, abs=0.001)
    assert [times[each].slack_s for each in "be"] == pytest.approx([3.833] * 2, abs=0.001)


@st.composite
def random_links(draw):
    count = draw(st.integers(1, 12))
    return {n: draw(st.sets(st.integers(0, n - 1))) if n else set() for n in range(count)}


durations = st.floats(0, 100, allow_nan=False)


@given(random_links(), st.lists(durations, min_size=12, max_size=12))
def test_the_finish_is_the_longest_path_that_networkx_finds(links, seconds):
    graph = nx.DiGraph()
    for each, others in links.items():
        graph.add_edge("start", each, weight=0)
        graph.add_edge(each, "finish", weight=seconds[each])
        graph.add_edges_from((other, each, {"weight": seconds[other]}) for other in others)
    network = activities({f"{n}": [f"{o}" for o in others] for n, others in links.items()})
    plan = schedule(network, {f"{n}": seconds[n] for n in links})
    assert plan.finish_s == pytest.approx(nx.dag_longest_path_length(graph))


@given(random_links(), st.lists(durations, min_size=12, max_size=12), st.integers(0, 11))
def test_a_delay_within_the_slack_leaves_the_finish_and_one_beyond_it_moves_it(
    links, seconds, delayed
):
    network = activities({f"{n}": [f"{o}" for o in others] for n, others in links.items()})
    times = {f"{n}": seconds[n] for n in links}
    each = f"{delayed % len(links)}"
    plan = schedule(network, times)
    slack_s = plan.times[each].slack_s
    within = schedule(network, times | {each: times[each] + slack_s})
    beyond = schedule(network, times | {each: times[each] + slack_s + 5})
    assert within.finish_s == pytest.approx(plan.finish_s)
    assert beyond.finish_s == pytest.approx(plan.finish_s + 5)


def hung(fallback=None):
    """Two segments; a process that starts with the plan is needed by the second."""
    return build(
        [
            Activity("a", "Talk"),
            Activity("b", "Pour", after=("a",), needs=(ProcessNeed("p", fallback),)),
            Activity("p", "Drip", counts=False),
        ]
    )


def test_a_late_process_is_waited_for_and_becomes_the_chain():
    plan = schedule(hung(), {"a": 10, "b": 5, "p": 30})
    assert (plan.times["b"].arrival_s, plan.times["b"].start_s, plan.finish_s) == (10, 30, 35)
    assert critical(plan) == {"p", "b"}
    assert plan.times["a"].slack_s == 20


def test_a_process_in_time_has_the_slack_until_it_is_needed():
    plan = schedule(hung(), {"a": 40, "b": 5, "p": 30})
    assert critical(plan) == {"a", "b"}
    assert plan.times["p"].slack_s == 10


def test_waiting_ends_with_the_patience_and_the_fallback_costs_its_seconds():
    plan = schedule(hung(Fallback(patience_s=8, cost_s=3)), {"a": 10, "b": 5, "p": 30})
    assert plan.times["b"].start_s == 21
    assert plan.times["b"].waited_s == 11
    assert critical(plan) >= {"a", "b"}


def test_until_its_moment_on_the_clock_the_product_is_waited_for():
    early = schedule(hung(Fallback(by_s=25)), {"a": 10, "b": 5, "p": 30})
    in_time = schedule(hung(Fallback(by_s=31)), {"a": 10, "b": 5, "p": 30})
    assert early.times["b"].start_s == 25
    assert in_time.times["b"].start_s == 30


def test_arriving_before_the_moment_of_the_fallback_is_slack():
    plan = schedule(hung(Fallback(by_s=25)), {"a": 10, "b": 5, "p": 30})
    assert plan.times["a"].slack_s == 15


def test_an_activity_that_goes_with_the_start_of_another_does_not_wait_for_its_end():
    network = build(
        [
            Activity("a", "Talk"),
            Activity("b", "Shake", after=("a",)),
            Activity("c", "Explain", with_start_of=("b",)),
        ]
    )
    plan = schedule(network, {"a": 10, "b": 5, "c": 20})
    assert (plan.times["c"].start_s, plan.finish_s) == (10, 30)
    assert plan.times["a"].critical


def test_what_another_starts_with_may_take_longer_but_not_start_later():
    network = build([Activity("a", "Shake"), Activity("b", "Explain", with_start_of=("a",))])
    times = schedule(network, {"a": 5, "b": 20}).times["a"]
    assert (times.slack_s, times.stretch_s) == (0, 15)


def test_a_network_of_nothing_finishes_at_once():
    plan = schedule(build([]), {})
    assert (plan.finish_s, critical(plan)) == (0.0, set())
