"""How soon the app answers and how heavy it is, against bare FastAPI with SQLModel."""

import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from statistics import median

from tests.bench.figures import Figure
from tests.bench.peers import peer, wait_for
from tests.bench.rehearsed import rehearse
from tests.real_server import RealServer


def measure(quick: bool) -> Iterator[Figure]:
    rounds = 3 if quick else 9
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        rehearse(folder / "data", 0, 4)
        pairs = [(_ours(folder / "data"), _bare(folder / "bare.db")) for _ in range(rounds)]
    (start_s, memory_mb), (bare_s, bare_mb) = (
        tuple(map(median, zip(*each, strict=True))) for each in zip(*pairs, strict=True)
    )
    yield Figure("first answer after start", start_s, "s", bare_s, "at most 1.3")
    yield Figure("resident memory after it", memory_mb, "MB", bare_mb, "at most 1.25")


def _ours(data: Path) -> tuple[float, float]:
    server = RealServer(data, demo=False)
    began = time.perf_counter()
    server.launch()
    try:
        wait_for(server.port, "/healthz")
        return time.perf_counter() - began, resident_mb(server.pid)
    finally:
        server.stop()


def _bare(file: Path) -> tuple[float, float]:
    began = time.perf_counter()
    with peer("bare", file) as (_, pid):
        return time.perf_counter() - began, resident_mb(pid)


def resident_mb(pid: int) -> float:
    """The resident memory of a process, from what Linux tells of it."""
    status = Path(f"/proc/{pid}/status").read_text(encoding="utf-8")
    return int(status.split("VmRSS:")[1].split()[0]) / 1024
