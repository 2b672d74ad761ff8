"""100,000 simulated slots of 60 activities, beside general-purpose parts in the same run.

    python -m tests.bench.risk            the loop over networkx on 2,000 slots, scaled up
    python -m tests.bench.risk --whole    the loop over all 100,000 slots

The plan has hands, voice, alongside segments, links and three processes. Ours counts everything
from the beliefs to the finish, critical chains included; the peers start from drawn durations.
The finishes of the loop's slots are compared with ours. Times are the best of several, because
the machine may be shared. Aims: under 0.5 s and 50 MB, at least 200 (stretch 500) times the loop,
at most twice one uniform draw per duration; a forecast while dragging under 100 ms.
"""

import argparse
import os
import time
import tracemalloc
from collections.abc import Callable

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import networkx as nx
import numpy as np

from server.domain.risk.advice import cut_advice, start_options
from server.domain.risk.estimate import Estimate
from server.domain.risk.forecast import FULL, QUICK, forecast, what_if
from server.domain.risk.model import Model, model_of
from server.domain.risk.optimise import propose_order
from server.domain.risk.parts import Parts, TimedProcess, TimedSegment
from server.domain.risk.runs import MeasuredRun
from server.domain.risk.simulate import draws_of, run_through, simulate
from server.domain.risk.what_if import Lengthen
from server.domain.rules import RuleSheet

SEGMENTS = 57
BLOCK = 400
RULES = RuleSheet("rules", "House", slot_s=600, target_s=590)


def plan() -> Parts:
    """57 segments and 3 processes: 60 activities."""
    lanes = ("both", "hands", "voice", "both", "hands")
    segments = tuple(
        TimedSegment(
            id=f"s{n}",
            name=f"Segment {n}",
            planned=Estimate(10.0 + n % 4, 11.0 + n % 4, 13.0 + n % 4),
            lane=lanes[n % 5],
            alongside=n % 5 in (2, 4),
            after_ids=(f"s{n - 3}",) if n % 10 == 4 else (),
        )
        for n in range(SEGMENTS)
    )
    processes = tuple(
        TimedProcess(
            f"p{n}", f"Process {n}", Estimate(100, 115, 140), f"s{3 + n}", f"s{25 + 9 * n}"
        )
        for n in range(3)
    )
    return Parts(segments, processes)


def runs(parts: Parts, count: int = 20) -> list[MeasuredRun]:
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
        measured.append(MeasuredRun(splits, struck))
    return measured


def best_of(rounds: int, work: Callable[[], object]) -> float:
    """Seconds of the fastest round."""
    times = []
    for _ in range(rounds):
        began = time.perf_counter()
        work()
        times.append(time.perf_counter() - began)
    return min(times)


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
        began = time.perf_counter()
        for durations_s in block.tolist():
            for data, row in leaving:
                data["weight"] = durations_s[row]
            finishes.append(nx.dag_longest_path_length(graph))
        blocks_s.append((time.perf_counter() - began) / len(block))
    ours = simulate(model, slots).finish_s[:slots]
    return min(blocks_s), float(np.abs(ours - finishes).max())


def line(what: str, seconds: float, note: str = "") -> None:
    print(f"{what:<58}{1000 * seconds:>10.1f} ms   {note}")


def main() -> None:
    """Measure, and print a line for each figure."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--whole", action="store_true")
    slots = FULL if parser.parse_args().whole else 2_000
    parts = plan()
    model = model_of(parts, runs(parts))
    simulate(model, QUICK)

    ours_s = best_of(15, lambda: simulate(model, FULL))
    draws_s = best_of(15, lambda: [0 for _ in draws_of(model, FULL)])
    chunks = list(draws_of(model, QUICK))
    forward_s = best_of(
        15, lambda: run_through(model.network, model.rows, chunks, with_chains=False)
    )
    rng = np.random.default_rng(1)
    uniform_s = best_of(5, lambda: rng.random((len(model.rows), FULL)))
    loop_s, apart_s = loop(model, slots)
    loop_s *= FULL

    tracemalloc.start()
    forecast(model, RULES, FULL)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()

    print(f"{FULL:,} slots of {len(model.network.activities)} activities\n")
    line("simulate, from beliefs to finishes and chains", ours_s)
    line("  of it drawing", draws_s)
    line("  of it moving through the network (per 10,000 slots)", forward_s)
    line("forecast: the same and all figures", best_of(7, lambda: forecast(model, RULES)))
    line("one uniform draw per duration", uniform_s, f"ours {ours_s / uniform_s:.2f} times as long")
    note = f"ours {loop_s / ours_s:.0f} times as fast; finishes differ by {apart_s:.1e} s at most"
    line(f"loop over networkx ({slots:,} slots, scaled)", loop_s, note)
    print(f"{'memory beyond what is loaded, at its peak':<58}{peak / 1e6:>10.1f} MB\n")
    line("model from 20 runs", best_of(7, lambda: model_of(parts, runs(parts))))
    drag = Lengthen("s4", -2)
    line("forecast while dragging", best_of(15, lambda: forecast(
        model.changed(drag.made(parts)), RULES, QUICK)))  # fmt: skip
    line("before and after, full", best_of(5, lambda: what_if(model, RULES, [drag])))
    line("what to cut", best_of(3, lambda: cut_advice(model, RULES)))
    line("when to start a process", best_of(3, lambda: start_options(model, RULES, "p1")))
    movable = [f"s{n}" for n in range(20, 50, 5)]
    proposal = propose_order(model, RULES, movable)
    line(
        "an order of 6 movable segments",
        best_of(1, lambda: propose_order(model, RULES, movable)),
        f"{proposal.tries} orders tried",
    )


if __name__ == "__main__":
    main()
