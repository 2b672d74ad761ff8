"""The statistics of a comparison, against NumPy over a matrix that is already there."""

import time
from collections.abc import Callable, Iterator
from statistics import median

import numpy as np

from server.domain.routine.rules import RuleSheet
from server.domain.runs.compare import compare
from server.domain.runs.summary import RunLine, RunSummary
from tests.bench.figures import Figure
from tests.bench.rehearsed import routine_of

RUNS, SEGMENTS = 300, 40


def measure(quick: bool) -> Iterator[Figure]:
    times = 5 if quick else 25
    routine = routine_of(SEGMENTS)
    rules = RuleSheet(id="rules", name="Rules", slot_s=600, target_s=590)
    splits = np.random.default_rng(950).normal(15_000, 2_000, (RUNS, SEGMENTS)).astype(int)
    lines = [_line(n, [segment.id for segment in routine.segments], row.tolist())
             for n, row in enumerate(splits)]  # fmt: skip
    ours_ms = _took_ms(lambda: compare(routine, rules, lines, {}), times)
    numpy_ms = _took_ms(lambda: _by_numpy(splits), times)
    yield Figure(f"comparing {RUNS} runs × {SEGMENTS} segments", ours_ms, "ms", numpy_ms)


def _line(number: int, ids: list[str], splits: list[int]) -> RunLine:
    ends = np.cumsum(splits).tolist()
    summary = RunSummary(dict(zip(ids, ends, strict=True)), dict(zip(ids, splits, strict=True)))
    return RunLine(
        id=f"run-{number}", label="", notes="", source="stage", excluded=False, status="finished",
        created_ms=number, started_ms=number, total_ms=ends[-1], summary=summary,
    )  # fmt: skip


def _by_numpy(splits: np.ndarray) -> None:
    for figure in (np.mean, np.median, np.min, np.max):
        figure(splits, axis=0)
    np.std(splits, axis=0, ddof=1)
    splits[-1] - np.median(splits[:-1], axis=0)


def _took_ms(work: Callable[[], object], times: int) -> float:
    took = []
    for _ in range(times):
        began = time.perf_counter()
        work()
        took.append((time.perf_counter() - began) * 1000)
    return median(took)
