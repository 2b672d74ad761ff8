"""100,000 simulated slots of 60 activities, beside general-purpose parts in the same run.

    python -m tests.bench.risk            the loop over networkx on 2,000 slots, scaled up
    python -m tests.bench.risk --whole    the loop over all 100,000 slots

The plan has hands, voice, alongside segments, links and three processes. Ours counts everything
from the beliefs to the finish, critical chains included; the peers start from drawn durations.
The finishes of the loop's slots are compared with ours. Times are processor time, the best of
several, because the machine may be shared; what is laid beside each other is measured in turns.
Aims: under 0.5 s and 50 MB, at least 200 (stretch 500) times the loop, at most twice one uniform
draw per duration; a model from 20 runs under 10 ms, an answer while dragging under 20 ms from end
to end.
"""

import argparse
import os
import time
import tracemalloc
from collections.abc import Callable, Iterator
from pathlib import Path
from tempfile import TemporaryDirectory

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import networkx as nx
import numpy as np
from fastapi.testclient import TestClient

from server.app import create_app
from server.demo import demo_file
from server.domain.belief.history import Run
from server.domain.risk.advice import cut_advice, start_options
from server.domain.risk.forecast import FULL, QUICK, forecast
from server.domain.risk.model import Model, model_of
from server.domain.risk.optimise import propose_order
from server.domain.risk.parts import Parts, TimedProcess, TimedSegment
from server.domain.risk.simulate import draws_of, run_through, simulate
from server.domain.routine.estimate import TimeEstimate
from server.domain.routine.rules import RuleSheet
from server.settings import Settings
from tests.bench.figures import Figure, percentile, table
from tests.domain.risk.changes import Lengthen, what_if

SEGMENTS = 57
BLOCK = 400
LOOPED, LOOPED_QUICK = 2_000, 400
"""Slots that the loop over networkx goes over; its time is scaled up."""

RULES = RuleSheet("rules", "House", slot_s=600, target_s=590)


def plan() -> Parts:
    """57 segments and 3 processes: 60 activities."""
    lanes = ("both", "hands", "voice", "both", "hands")
    segments = tuple(
        TimedSegment(
            id=f"s{n}",
            name=f"Segment {n}",
            planned=TimeEstimate(10.0 + n % 4, 11.0 + n % 4, 13.0 + n % 4),
            lane=lanes[n % 5],
            alongside=n % 5 in (2, 4),
            after_ids=(f"s{n - 3}",) if n % 10 == 4 else (),
        )
        for n in range(SEGMENTS)
    )
    processes = tuple(
        TimedProcess(
            f"p{n}", f"Process {n}", TimeEstimate(100, 115, 140), f"s{3 + n}", f"s{25 + 9 * n}"
        )
        for n in range(3)
    )
    return Parts(segments, processes)


def runs(parts: Parts, count: int = 20) -> list[Run]:
    """Practice runs of the plan, slower and faster days, an incident in every fourth."""
    rng = np.random.default_rng(5)
    measured = []
    for number in range(count):
        day = 1 + 0.04 * rng.normal()
        splits = {
            each: float(likely_s * day * (1 + 0.08 * rng.normal()))
            for each, likely_s in parts.likely_s.items()
        }
        struck = ("s7",) if number % 4 == 0 else ()
        if struck:
            splits["s7"] += 12
        measured.append(Run(splits, planned_s=parts.likely_s, incidents=struck))
    return measured


def best_of(rounds: int, work: Callable[[], object]) -> float:
    """Seconds of the processor in the fastest round."""
    return in_turns(rounds, work)[0]


def in_turns(rounds: int, *works: Callable[[], object]) -> list[float]:
    """The same of several, one after the other in each round: they meet the same machine."""
    times = [[_busy_s(work) for work in works] for _ in range(rounds)]
    return [min(each) for each in zip(*times, strict=True)]


def _busy_s(work: Callable[[], object]) -> float:
    began = time.process_time()
    work()
    return time.process_time() - began


def graph_of(model: Model) -> nx.DiGraph:
    """The plan as networkx sees it: an edge carries the duration of the activity it leaves.

    Starting with another activity is waiting for all that the other waits for.
    """
    graph, awaited = nx.DiGraph(), {}
    for activity in model.network.activities:
        waits = {*activity.after, *(need.process_id for need in activity.needs)}
        awaited[activity.id] = waits.union(*(awaited[other] for other in activity.with_start_of))
        graph.add_edges_from((other, activity.id) for other in awaited[activity.id])
    graph.add_edges_from((each, "finish") for each in model.network.last_ids)
    return graph


def loop(model: Model, slots: int) -> tuple[float, float]:
    """Seconds a slot takes the loop over networkx, and its greatest difference from our finishes.

    The best of several blocks, as ours is the best of several rounds.
    """
    graph = graph_of(model)
    drawn = np.hstack([chunk.durations_s.copy() for chunk in draws_of(model, slots)])[:, :slots]
    leaving = [(data, model.rows[each]) for each, _, data in graph.edges(data=True)]
    finishes: list[float] = []
    blocks_s = []
    for block in np.array_split(drawn.T, slots // BLOCK):
        began = time.process_time()
        for durations_s in block.tolist():
            for data, row in leaving:
                data["weight"] = durations_s[row]
            finishes.append(nx.dag_longest_path_length(graph))
        blocks_s.append((time.process_time() - began) / len(block))
    ours = simulate(model, slots).finish_s[:slots]
    return min(blocks_s), float(np.abs(ours - finishes).max())


def dragged_ms(moves: int) -> tuple[list[float], list[float]]:
    """How long each answer takes while a block of the demo is dragged, through the whole app.

    On the wall, and of the processor: the machine may be shared.
    """
    with TemporaryDirectory() as folder:
        app = create_app(Settings(data_dir=Path(folder), demo=True, open=True))
        with TestClient(app, base_url="http://tablet.lan") as client:
            routine = demo_file().routine
            path = f"/routines/{routine.id}/plan/held"
            taken, worked = [], []
            for step in range(moves + 1):
                query = {"segment": routine.segments[1].id, "span": 618, "seconds": step}
                began, busy = time.perf_counter(), time.process_time()
                client.get(path, params=query).raise_for_status()
                taken.append(1000 * (time.perf_counter() - began))
                worked.append(1000 * (time.process_time() - busy))
    # The first answer also makes the model; a page has done that before a block can be held.
    return taken[1:], worked[1:]


def measure(quick: bool) -> list[Figure]:
    """The figures for `python -m tests.bench`."""
    return list(figures(LOOPED_QUICK if quick else LOOPED, 3 if quick else 15))


def figures(looped: int, rounds: int) -> Iterator[Figure]:
    """One figure after the other; the loop over networkx goes over `looped` slots."""
    parts = plan()
    measured = runs(parts)
    model = model_of(parts, measured)
    simulate(model, QUICK)
    few = max(rounds // 3, 1)

    rng = np.random.default_rng(1)
    ours_s, uniform_s = in_turns(
        rounds, lambda: simulate(model, FULL), lambda: rng.random((len(model.rows), FULL))
    )
    loop_s, apart_s = loop(model, looped)
    if apart_s > 1e-6:
        raise AssertionError(f"the finishes differ by {apart_s} s")
    name = f"{FULL:,} slots of {len(model.network.activities)} activities"
    yield Figure(f"{name}, beside a loop over networkx", 1000 * ours_s, "ms", 1000 * loop_s * FULL,
                 "under 500 ms, at most 0.005")  # fmt: skip
    yield Figure(f"{name}, beside one uniform draw each", 1000 * ours_s, "ms", 1000 * uniform_s,
                 "at most 2")  # fmt: skip
    yield Figure("of it drawing", 1000 * best_of(few, lambda: [0 for _ in draws_of(model, FULL)]),
                 "ms")  # fmt: skip
    chunks = list(draws_of(model, QUICK))
    through = best_of(few, lambda: run_through(
        model.network, model.rows, chunks, with_chains=False))  # fmt: skip
    yield Figure(f"{QUICK:,} slots through the network", 1000 * through, "ms")
    yield Figure("the same and all figures", 1000 * best_of(few, lambda: forecast(model, RULES)),
                 "ms")  # fmt: skip
    yield Figure("memory at its peak", peak_mb(model), "MB", aim="under 50 MB")
    yield from advised(model, measured, few)
    answers, worked = dragged_ms(5 if rounds < 10 else 40)
    name = "an answer while dragging, end to end"
    yield Figure(name, percentile(answers, 50), "ms", aim="under 20 ms")
    yield Figure("the slowest of twenty", percentile(answers, 95), "ms")
    yield Figure(f"{name}, processor time", percentile(worked, 50), "ms", aim="under 20 ms")
    yield Figure("the quickest, processor time", min(worked), "ms")


def advised(model: Model, measured: list[Run], rounds: int) -> Iterator[Figure]:
    """What the pages ask beside."""
    parts = model.parts
    drag = Lengthen("s4", -2)

    def ms(work: Callable[[], object]) -> float:
        return 1000 * best_of(rounds, work)

    yield Figure("a model from 20 runs", ms(lambda: model_of(parts, measured)), "ms",
                 aim="under 10 ms")  # fmt: skip
    folded = model_of(parts, measured[:-1]).practised
    yield Figure("the same where the latest alone is new", ms(lambda: model_of(
        parts, measured, before=folded)), "ms")  # fmt: skip
    yield Figure("a forecast while dragging", ms(lambda: forecast(
        model.changed(drag.made(parts)), RULES, QUICK, with_chains=False)), "ms",
        aim="under 20 ms")  # fmt: skip
    yield Figure("before and after, full", ms(lambda: what_if(model, RULES, [drag])), "ms")
    now = forecast(model, RULES, FULL)
    yield Figure("what to cut", ms(lambda: cut_advice(
        model, RULES, 0.95, lambda each, s: model.changed(Lengthen(each, -s).made(parts)), now
    )), "ms")  # fmt: skip
    yield Figure("when to start a process", ms(lambda: start_options(model, RULES, "p1")), "ms")
    movable = [f"s{n}" for n in range(20, 50, 5)]
    seconds = best_of(1, lambda: propose_order(model, RULES, movable))
    yield Figure("an order of 6 movable segments", 1000 * seconds, "ms")


def peak_mb(model: Model) -> float:
    """Memory that a full forecast takes beyond what is loaded."""
    tracemalloc.start()
    forecast(model, RULES, FULL)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    return peak / 1e6


def main() -> None:
    """Measure, and print a line for each figure."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--whole", action="store_true", help="the loop over all slots")
    print(table(figures(FULL if parser.parse_args().whole else LOOPED, 15)))


if __name__ == "__main__":
    main()
