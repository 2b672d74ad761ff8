"""The drift page over many runs, end to end: asked over loopback, changed before every request.

Beside the wall time stands the server's own processor time for a request, which a busy machine
moves less. The peer is the same page of a tenth of the runs, so that a ratio of ten is linear.
"""

import os
import sqlite3
import tempfile
import time
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from statistics import median

import httpx

from server.settings import DATABASE_NAME
from tests.bench.figures import Figure
from tests.bench.rehearsed import DAY_MS, ROUTINE_ID, rehearse
from tests.real_server import RealServer

SEGMENTS = 40
BUILT_RUNS = 100
PAGE = f"/routines/{ROUTINE_ID}/drift"

_MULTIPLY = """
INSERT INTO run (id, routine_id, plan_key, created_ms, source, label, notes, excluded, deleted_ms,
                 status, started_ms, total_ms, summary)
SELECT id || '-' || :part, routine_id, plan_key, created_ms + :shift_ms, source, label, notes,
       excluded, deleted_ms, status, started_ms + :shift_ms, total_ms, summary
FROM run WHERE instr(id, '-') = 0
"""


@dataclass(frozen=True)
class Asked:
    """Times of one request, changed page and kept page; ms."""

    wall_ms: float
    cpu_ms: float
    kept_ms: float
    size_kb: float


def measure(quick: bool) -> Iterator[Figure]:
    """The page of 1,000 runs, and of fewer and more for the growth."""
    sizes = (100, 1000) if quick else (100, 1000, 10_000)
    smaller: Asked | None = None
    for runs in sizes:
        asked = _asked(runs, 4 if quick else 12)
        name = f"drift page, {runs:,} runs × {SEGMENTS} segments"
        aim = "under 400 ms" if runs == 1000 else ""
        yield Figure(f"{name}, wall time", asked.wall_ms, "ms", aim=aim)
        peer = None if smaller is None else smaller.cpu_ms
        yield Figure(f"{name}, processor time", asked.cpu_ms, "ms", peer, "at most 10 (linear)")
        yield Figure(f"{name}, unchanged", asked.kept_ms, "ms")
        yield Figure(f"{name}, size", asked.size_kb, "KB")
        smaller = asked


def _asked(runs: int, rounds: int) -> Asked:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        rehearse(folder, BUILT_RUNS, SEGMENTS)
        _multiply(folder / DATABASE_NAME, runs // BUILT_RUNS)
        server = RealServer(folder, demo=False)
        server.start()
        try:
            with httpx.Client(base_url=server.url, timeout=60, trust_env=False) as client:
                return _times(client, server.pid, rounds)
        finally:
            server.stop()


def _times(client: httpx.Client, pid: int, rounds: int) -> Asked:
    client.get(PAGE)
    walls, kept, cpu_ms = [], [], 0.0
    for _ in range(rounds):
        # A change of the goal to what it was: nothing looks different, but the page is made anew.
        client.post(f"{PAGE}/goal/undo", headers={"Origin": str(client.base_url).rstrip("/")})
        before_ms, began = _processor_ms(pid), time.perf_counter()
        answer = client.get(PAGE)
        walls.append(1000 * (time.perf_counter() - began))
        cpu_ms += _processor_ms(pid) - before_ms
        began = time.perf_counter()
        client.get(PAGE)
        kept.append(1000 * (time.perf_counter() - began))
        assert answer.status_code == 200
    return Asked(median(walls), cpu_ms / rounds, median(kept), len(answer.content) / 1024)


def _processor_ms(pid: int) -> float:
    """The processor time that a process has used so far, all threads; in steps of a tick."""
    fields = Path(f"/proc/{pid}/stat").read_text(encoding="ascii").rsplit(")", 1)[1].split()
    return 1000 * (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def _multiply(path: Path, times: int) -> None:
    """Put the runs there so many times in all, each lot after the one before."""
    with closing(sqlite3.connect(path)) as connection, connection:
        for part in range(1, times):
            shift_ms = part * BUILT_RUNS * DAY_MS // 20
            connection.execute(_MULTIPLY, {"part": part, "shift_ms": shift_ms})
