"""Outside check: networkx's longest path through the same network gives the planned total."""

from dataclasses import replace

import networkx as nx
import pytest
from hypothesis import given

from server.domain.routine.plan import layout, place_segments
from server.domain.routine.routine import Process, Routine, Segment, Spread
from tests.domain.strategies import routines

SEGMENTS = (
    Segment("s1", "Start", Spread(60, 50, 80)),
    Segment("s2", "Build", Spread(120, 100, 150)),
    Segment("s3", "Serve", Spread(30)),
)


def laid(process):
    return layout(Routine("r", "Mine", "x", segments=SEGMENTS, processes=(process,)))


def test_segments_follow_one_another_from_zero():
    assert [(piece.start_s, piece.end_s) for piece in place_segments(SEGMENTS)] == [
        (0, 60),
        (60, 180),
        (180, 210),
    ]


def test_totals_follow_the_lowest_likely_and_highest_durations():
    plan = layout(Routine("r", "Mine", "x", segments=SEGMENTS))
    assert (plan.total_low_s, plan.total_s, plan.total_high_s) == (180, 210, 260)


def test_an_empty_routine_takes_no_time():
    plan = layout(Routine("r", "Mine", "x"))
    assert (plan.segments, plan.total_s, plan.total_high_s) == ((), 0, 0)


def test_a_process_starts_at_the_end_of_one_segment_and_is_due_at_the_start_of_another():
    (placed,) = laid(Process("p", "Drip", Spread(100, 90, 140), "s1", "s3")).processes
    assert (placed.start_s, placed.due_s) == (60, 180)
    assert (placed.ready_low_s, placed.ready_s, placed.ready_high_s) == (150, 160, 200)
    assert placed.margin_s == 20


def test_a_process_planned_too_late_has_a_negative_margin():
    (placed,) = laid(Process("p", "Drip", Spread(150), "s1", "s3")).processes
    assert placed.margin_s == -30


@pytest.mark.parametrize(("after", "before"), [(None, "s3"), ("s1", None), (None, None)])
def test_a_process_with_a_lost_link_has_no_margin(after, before):
    (placed,) = laid(Process("p", "Drip", Spread(60), after, before)).processes
    assert placed.margin_s is None
    assert (placed.start_s is None) == (after is None)
    assert (placed.due_s is None) == (before is None)


@given(routines())
def test_the_tape_has_neither_gap_nor_overlap(routine):
    placed = layout(routine).segments
    starts = [piece.start_s for piece in placed]
    assert starts == [0.0, *(piece.end_s for piece in placed)][: len(placed)]


@given(routines())
def test_the_likely_total_lies_between_the_lowest_and_the_highest(routine):
    plan = layout(routine)
    assert plan.total_low_s <= plan.total_s + 1e-6 <= plan.total_high_s + 2e-6


@given(routines(min_segments=1))
def test_the_total_is_the_longest_path_that_networkx_finds(routine):
    graph = nx.DiGraph()
    for number, segment in enumerate(routine.segments):
        graph.add_edge(number, number + 1, weight=segment.duration.likely_s)
    longest_s = nx.dag_longest_path_length(graph)
    assert layout(routine).total_s == pytest.approx(longest_s)


@given(routines(min_segments=1))
def test_a_longer_first_segment_moves_everything_by_as_much(routine):
    first = routine.segments[0]
    longer = replace(first, duration=Spread(first.duration.likely_s + 10))
    moved = layout(replace(routine, segments=(longer, *routine.segments[1:])))
    before = layout(routine)
    assert moved.total_s == pytest.approx(before.total_s + 10)
    for was, now in zip(before.processes, moved.processes, strict=True):
        assert (was.margin_s is None) == (now.margin_s is None)
        assert was.margin_s is None or now.margin_s == pytest.approx(was.margin_s)
