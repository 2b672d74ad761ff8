"""Outside check: networkx decides which links are detours and whether there is a circle."""

import networkx as nx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.domain.base.errors import InvalidInput
from server.domain.risk.activities import Activity, Fallback, ProcessNeed, build
from tests.domain.risk.plans import activities


def test_a_circle_of_waiting_is_refused_with_its_members_by_name():
    circle = [
        Activity("a", "Welcome"),
        Activity("b", "Brew", after=("a", "d")),
        Activity("c", "Pour", after=("b",)),
        Activity("d", "Serve", with_start_of=("c",)),
    ]
    with pytest.raises(InvalidInput) as refused:
        build(circle)
    message = refused.value.message
    assert all(name in message for name in ("“Brew”", "“Pour”", "“Serve”"))
    assert "Welcome" not in message


def test_a_process_that_is_needed_before_it_can_start_closes_a_circle():
    with pytest.raises(InvalidInput, match="“Drip”"):
        build(
            [
                Activity("a", "Pour", needs=(ProcessNeed("p"),)),
                Activity("b", "Fill", after=("a",)),
                Activity("p", "Drip", after=("b",)),
            ]
        )


def test_a_link_to_nothing_and_a_double_id_are_refused():
    with pytest.raises(InvalidInput, match="“Pour” waits for a part"):
        build([Activity("a", "Pour", after=("x",))])
    with pytest.raises(InvalidInput, match="same id"):
        build([Activity("a", "Pour"), Activity("a", "Fill")])


def test_the_order_given_is_kept_where_waiting_allows():
    network = activities({"d": "", "b": "a", "a": "", "c": "b"})
    assert [each.id for each in network.activities] == ["d", "a", "b", "c"]


@st.composite
def random_links(draw):
    count = draw(st.integers(1, 9))
    return {f"{n}": draw(st.sets(st.integers(0, n - 1))) if n else set() for n in range(count)}


@given(random_links())
def test_what_is_left_of_the_links_is_networkx_transitive_reduction(links):
    graph = nx.DiGraph()
    graph.add_nodes_from(links)
    graph.add_edges_from((f"{other}", each) for each, others in links.items() for other in others)
    network = activities({each: [f"{o}" for o in others] for each, others in links.items()})
    kept = {(other, each.id) for each in network.activities for other in each.after}
    assert kept == set(nx.transitive_reduction(graph).edges)


@given(st.lists(st.tuples(st.integers(0, 5), st.integers(0, 5)), max_size=8))
def test_a_circle_is_refused_exactly_where_networkx_finds_one(edges):
    graph = nx.DiGraph(edges)
    after = {f"{n}": [f"{a}" for a, b in edges if b == n] for n in range(6)}
    if nx.is_directed_acyclic_graph(graph):
        ordered = [each.id for each in activities(after).activities]
        assert all(ordered.index(f"{a}") < ordered.index(f"{b}") for a, b in edges)
    else:
        with pytest.raises(InvalidInput, match="circle"):
            activities(after)


def test_the_finish_is_the_last_of_what_counts():
    network = build(
        [
            Activity("a", "Talk"),
            Activity("b", "Shake", after=("a",)),
            Activity("c", "Explain", after=("a",)),
            Activity("p", "Drip", after=("b",), counts=False),
        ]
    )
    assert network.last_ids == ("b", "c")


def test_a_fallback_waits_for_the_later_of_patience_and_clock():
    assert Fallback(patience_s=5, by_s=40).limit_s(30) == 40
    assert Fallback(patience_s=5, by_s=40).limit_s(50) == 55
    with pytest.raises(InvalidInput):
        Fallback(cost_s=-1)
