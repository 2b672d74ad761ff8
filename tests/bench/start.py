"""How soon the app answers and how heavy it is, against bare FastAPI with SQLModel.

And what the first answer of each main page costs, asked for at once and 5 s after the first answer
of all, beside the same page asked for again: in processor time of the server, so that what else the
machine does is not counted.
"""

import http.client
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
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
    with tempfile.TemporaryDirectory() as name:
        yield from _first_pages(Path(name), 1 if quick else 3)


PAGES = {
    "Today": "",
    "Stage": "/try",
    "Script": "/script",
    "Drinks": "/drinks",
    "Plan": "/plan",
    "Runs": "/runs",
}
LATER_S = 5.0
RESTS_S = 0.5


def _first_pages(data: Path, rounds: int) -> Iterator[Figure]:
    with _answering(data):
        pass  # The demo is made, and what is compiled is kept.
    for name, path in PAGES.items():
        at_once, again = map(median, zip(*(_asked(data, path) for _ in range(rounds)), strict=True))
        aim = "at most 100 ms" if name == "Stage" else ""
        yield Figure(f"first {name}, at once", at_once, "ms", again, aim)
    found: dict[str, list[tuple[float, float]]] = {name: [] for name in PAGES}
    for _ in range(rounds):
        with _answering(data) as server:
            _let_rest(server.pid)
            for name, path in PAGES.items():
                found[name].append((_cost_ms(server, path), _cost_ms(server, path)))
    for name, each in found.items():
        later, again = map(median, zip(*each, strict=True))
        yield Figure(f"first {name}, {LATER_S:.0f} s later", later, "ms", again, "at most 60 ms")


@contextmanager
def _answering(data: Path) -> Iterator[RealServer]:
    server = RealServer(data)
    server.launch()
    try:
        wait_for(server.port, "/healthz")
        yield server
    finally:
        server.stop()


def _asked(data: Path, path: str) -> tuple[float, float]:
    with _answering(data) as server:
        return _cost_ms(server, path), _cost_ms(server, path)


def _cost_ms(server: RealServer, path: str) -> float:
    """The processor time of the server until a page of the demo's routine is answered."""
    before = processor_s(server.pid)
    connection = http.client.HTTPConnection("127.0.0.1", server.port, timeout=60)
    connection.request("GET", f"/routines/routine-demo{path}")
    answer = connection.getresponse()
    answer.read()
    assert answer.status == 200, path
    return (processor_s(server.pid) - before) * 1000


def _let_rest(pid: int) -> None:
    """Wait as long as a person may, and until the server does nothing by itself."""
    time.sleep(LATER_S)
    before = -1.0
    while (now := processor_s(pid)) - before > RESTS_S / 50:
        before = now
        time.sleep(RESTS_S)


def processor_s(pid: int) -> float:
    """The processor time of all threads of a process, from what Linux tells of them."""
    threads = Path(f"/proc/{pid}/task").glob("*/schedstat")
    return sum(int(each.read_text().split()[0]) for each in threads) / 1e9


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
