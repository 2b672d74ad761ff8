"""Outside check: networkx decides whether the same graph of waiting has a circle."""

import networkx as nx
from hypothesis import given
from hypothesis import strategies as st

from server.domain.routine.network import first_cycle
from server.domain.routine.routine import Process, Segment, Spread


def segments(count):
    return [Segment(f"s{n}", f"Segment {n}", Spread(10)) for n in range(count)]


def process(number, after, before):
    return Process(f"p{number}", f"Process {number}", Spread(60), after, before)


def test_segments_alone_never_wait_in_a_circle():
    assert first_cycle(segments(5), []) is None


def test_a_circle_names_the_process_that_closes_it_and_all_along_it():
    cycle = first_cycle(segments(4), [process(0, "s2", "s1")])
    assert cycle.process_name == "Process 0"
    assert set(cycle.names) == {"Process 0", "Segment 1", "Segment 2"}
    assert cycle.names[0] == cycle.names[-1]


def test_two_processes_that_wait_for_each_other_are_found():
    parts = segments(4)
    cycle = first_cycle(parts, [process(0, "s3", "s2"), process(1, "s1", "s0")])
    assert cycle is not None


def test_a_process_with_a_lost_link_waits_for_nobody():
    assert first_cycle(segments(2), [process(0, None, "s0"), process(1, "s1", None)]) is None


links = st.none() | st.integers(0, 5).map("s{}".format)


@given(st.lists(st.tuples(links, links), max_size=4))
def test_a_circle_is_found_exactly_where_networkx_finds_one(hung):
    parts = segments(6)
    processes = [process(n, after, before) for n, (after, before) in enumerate(hung)]
    graph = nx.DiGraph([(f"s{n}", f"s{n + 1}") for n in range(5)])
    for item in processes:
        if item.after_segment_id:
            graph.add_edge(item.after_segment_id, item.id)
        if item.before_segment_id:
            graph.add_edge(item.id, item.before_segment_id)
    found = first_cycle(parts, processes)
    assert (found is None) == nx.is_directed_acyclic_graph(graph)


@given(st.integers(0, 5), st.integers(0, 5))
def test_the_names_of_a_circle_follow_the_waiting_step_by_step(after, before):
    parts = segments(6)
    cycle = first_cycle(parts, [process(0, f"s{after}", f"s{before}")])
    if cycle is not None:
        expected = {f"Segment {n}" for n in range(before, after + 1)} | {"Process 0"}
        assert set(cycle.names) == expected
        assert len(cycle.names) == len(expected) + 1
