"""The analysis of 1,000 runs of 40 segments, beside the same figures in plain Python.

    python -m tests.bench.drift           1,000 runs, and 100 and 10,000 for the growth
    python -m tests.bench.drift --quick   100 runs

Both are given the same table and have to agree before they are timed. The peer is timed twice:
computing the same figures, and computing slopes and pairs of groups over all runs, as
their definitions stand, where ours look at the latest ones (which is how its cost stays bounded).
Times are processor time of one thread, the best of several, so that a busy machine counts less;
wall time is told beside it. Aims: under 200 ms, at least 50 times the plain definitions, growing
no faster than the runs.
"""

import argparse
import os
import time
from dataclasses import dataclass

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np

from server.domain.base.durations import HOUR_MS
from server.domain.drift.analysis import Drift, analyse
from server.domain.drift.run_table import RunTable, run_table
from server.domain.drift.sentences import sentences
from tests.bench import plain_drift
from tests.factories import NOW_MS, RULES, make_line, make_routine, make_segment

SEGMENTS = 40
ROUNDS = 5


@dataclass(frozen=True)
class Timed:
    """Best processor time and the wall time of the same round; milliseconds."""

    cpu_ms: float
    wall_ms: float


def practice(runs: int, missing: float = 0.02):
    """Lines of runs: heavy tails, a learning curve, a jump, a slope, and marks that are missing."""
    random = np.random.default_rng(runs)
    base = random.uniform(6, 22, SEGMENTS)
    splits = base * (1 + 0.08 * random.standard_t(4, (runs, SEGMENTS))).clip(0.3)
    at = np.arange(runs)[:, None] / runs
    splits[:, :10] += 6 * np.exp(-8 * at)
    splits[:, 12:13] += 3 * (at > 0.6)
    splits[:, 20:21] += 2 * at
    gaps = random.random(splits.shape) < missing
    return [_line(run, row, gap) for run, (row, gap) in enumerate(zip(splits, gaps, strict=True))]


def _line(run, row, gap):
    kept = {f"s{n}": float(time_s) for n, time_s in enumerate(row) if not gap[n]}
    return make_line(float(row.sum()), kept, id=f"r{run}", started_ms=NOW_MS + run * 8 * HOUR_MS)


def plan():
    return make_routine(segments=tuple(make_segment(f"s{n}", 14) for n in range(SEGMENTS)))


def plain(table: RunTable, *, whole: bool = False):
    """The same table as lists, analysed in plain Python."""
    rows = [[None if t != t else t for t in row] for row in table.splits_s.tolist()]
    totals, firsts = table.comparable_s.tolist(), table.first_of_day.tolist()
    return plain_drift.analysis(rows, totals, firsts, whole=whole)


def check(drift: Drift, peer) -> None:
    """Refuse to time two things that do not agree."""
    for ours, theirs in zip((drift.total, *drift.segments), peer["series"], strict=True):
        level = ours.level
        close((level.mean_s, level.median_s, level.sd_s, level.robust_sd_s), theirs["level"][:4])
        close((ours.trend.slope_s, ours.trend.low_s, ours.trend.high_s), theirs["trend"][:3])
        close(ours.move.trend.slope_s, theirs["move"][0][0])
        close([change.at for change in ours.changes], theirs["changes"])
        center, _, _, smoothed = theirs["charts"]
        close(ours.charts.individuals.center_s, center)
        beyond = [n for n, (mean, half) in enumerate(smoothed) if abs(mean - center) > half]
        close(list(ours.charts.creeping), beyond)
        if ours.learning and ours.learning.believed:
            close(ours.learning.time_s(1), theirs["learning"][1] + theirs["learning"][2], 1e-3)
    for share, theirs in zip(drift.together.shares, peer["together"][0], strict=True):
        close((share.share, share.low, share.high), theirs, 1e-6)
    differences = [drift.pairs[0].total, *(each.difference for each in drift.pairs[0].segments)]
    for ours, theirs in zip(differences, peer["pairs"], strict=True):
        close((ours.shift_s, ours.low_s, ours.high_s), theirs[:3])


def close(ours, theirs, within: float = 1e-7) -> None:
    if not np.allclose(ours, theirs, rtol=within, atol=within):
        raise AssertionError(f"{ours} is not {theirs}")


def timed(work, rounds: int = ROUNDS) -> Timed:
    taken = []
    for _ in range(rounds):
        wall, cpu = time.perf_counter(), time.process_time()
        work()
        taken.append((time.process_time() - cpu, time.perf_counter() - wall))
    cpu_s, wall_s = min(taken)
    return Timed(1000 * cpu_s, 1000 * wall_s)


def figures(*, quick: bool):
    """(what, ours, unit, peer, aim) of each measurement."""
    runs = 100 if quick else 1000
    lines = practice(runs)
    table = run_table(plan(), lines, {})
    drift = analyse(table, RULES)
    check(drift, plain(table))
    ours = timed(lambda: analyse(table, RULES))
    same = timed(lambda: plain(table), 1 if quick else 2)
    whole = timed(lambda: plain(table, whole=True), 1)
    name = f"analysis of {runs:,} runs"
    yield f"{name}, the same figures", ours.cpu_ms, "ms", same.cpu_ms, "under 200 ms"
    yield f"{name}, plain definitions", ours.cpu_ms, "ms", whole.cpu_ms, "at most 0.02 of the peer"
    yield f"{name}, wall time", ours.wall_ms, "ms", None, "under 200 ms"
    built = timed(lambda: run_table(plan(), lines, {}))
    yield "its table from the runs", built.cpu_ms, "ms", None, ""
    said = timed(lambda: sentences(drift))
    yield "its sentences", said.cpu_ms, "ms", None, ""
    for more in () if quick else (100, 10_000):
        other = run_table(plan(), practice(more), {})
        took = timed(lambda table=other: analyse(table, RULES), 3)
        yield f"analysis of {more:,} runs", took.cpu_ms, "ms", None, "at most linear in runs"


def measure(quick: bool):
    """The figures for `python -m tests.bench`."""
    from tests.bench import drift_page
    from tests.bench.figures import Figure

    analysed = [Figure(*figure) for figure in figures(quick=quick)]
    return [*analysed, *drift_page.measure(quick)]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true", help="100 runs only")
    for what, ours, unit, peer, aim in figures(quick=parser.parse_args().quick):
        beside = "" if peer is None else f"  plain {peer:9.1f} {unit} ({peer / ours:.0f} times)"
        print(f"{what:<44}{ours:9.1f} {unit}{beside}  {aim}", flush=True)


if __name__ == "__main__":
    main()
