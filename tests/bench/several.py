"""Two workers on PostgreSQL: a mark to five hundred followers, and fifty posters beside SQLite.

Ten presenters mark at the same moment; each has fifty followers, half of them on either worker, so
that five hundred are told at once. The time runs from before the ten marks are posted until a
follower has read the one of its run. The server waits for its disk, as it is installed.
"""

import asyncio
import tempfile
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack, contextmanager
from pathlib import Path

from server.domain.runs.joining import MOST_WATCHING
from tests.bench.events import POSTERS, SEGMENTS, marks_for
from tests.bench.figures import Figure, percentile
from tests.bench.live import BETWEEN_S, answered, body, follow, heard, joined
from tests.bench.load import HOST, Load, collecting_nothing, in_turns, load, post, settle
from tests.bench.rehearsed import ROUTINE_ID, rehearse
from tests.browser.desk import Desk
from tests.postgres_server import DURABLE, PostgresServer
from tests.real_server import RealServer

RUNS = 10
Ends = tuple[asyncio.StreamReader, asyncio.StreamWriter]


def measure(quick: bool) -> Iterator[Figure]:
    runs, followers, marks = (2, 10, 3) if quick else (RUNS, MOST_WATCHING, 40)
    with tempfile.TemporaryDirectory() as name, ExitStack() as running:
        folder = Path(name)
        both = running.enter_context(_two_workers(folder))
        settle(quick)
        took_ms = _to_followers(both, runs, followers, marks)
        alone = running.enter_context(_on_sqlite(folder))
        settle(quick)
        ours, theirs = in_turns(lambda: _posted(both), lambda: _posted([alone]))
    for percent in (50, 99):
        aim = "under 100 ms" if percent == 99 else ""
        value = percentile(took_ms, percent)
        yield Figure(f"mark to {runs * followers} followers, p{percent}", value, "ms", aim=aim)
    at = f"{POSTERS[-1]} posters"
    yield Figure(f"mark durable, {at}, beside SQLite", ours.rate, "/s", theirs.rate, "at least 1")
    yield Figure(f"mark durable, {at}, p99", ours.at(99), "ms", theirs.at(99))


@contextmanager
def _two_workers(folder: Path) -> Iterator[list[RealServer]]:
    postgres = PostgresServer(DURABLE)
    try:
        postgres.do('CREATE DATABASE "bench"')
        address = postgres.address("bench")
        rehearse(folder / "both", 0, SEGMENTS, address)
        workers = [
            RealServer(folder / "both", demo=False, database=address, patience_s=300)
            for _ in range(2)
        ]
        try:
            for each in workers:
                each.start()
            yield workers
        finally:
            for each in workers:
                each.stop()
    finally:
        postgres.stop()


@contextmanager
def _on_sqlite(folder: Path) -> Iterator[RealServer]:
    rehearse(folder / "alone", 0, SEGMENTS)
    server = RealServer(folder / "alone", demo=False)
    server.start()
    try:
        yield server
    finally:
        server.stop()


def _posted(workers: list[RealServer]) -> Load:
    """Fifty posters, shared out between the workers."""
    each = POSTERS[-1] // len(workers)
    with ExitStack() as desks, ThreadPoolExecutor() as pool:
        desk = desks.enter_context(Desk(workers[0].url))
        jobs = [[marks_for(desk, 1) for _ in range(each)] for _ in workers]
        ports = [worker.port for worker in workers]
        loads = list(pool.map(load, ports, jobs))
    return Load(
        max(part.seconds for part in loads),
        [ms for part in loads for ms in part.took_ms],
        {"200": sum(part.statuses["200"] for part in loads)},
        max(part.bytes_each for part in loads),
    )


def _to_followers(workers: list[RealServer], runs: int, followers: int, marks: int) -> list[float]:
    """Ms from posting to reading, for each mark and follower."""
    with Desk(workers[0].url) as desk:
        opened = [_opened(desk, workers[0], followers) for _ in range(runs)]
    with collecting_nothing():
        return asyncio.run(_latencies([each.port for each in workers], opened, marks))


def _opened(desk: Desk, worker: RealServer, followers: int) -> tuple[str, list[str]]:
    """A run, and the cookies of those who may follow it."""
    run_id = desk.send_form(f"/routines/{ROUTINE_ID}/rehearse").split("/")[2]
    page = desk.post(f"/runs/{run_id}/watchers").text
    code = page.split('id="code">', 1)[1].split("<", 1)[0]
    return f"/api/runs/{run_id}", [joined(worker, code) for _ in range(followers)]


async def _latencies(
    ports: list[int], opened: list[tuple[str, list[str]]], marks: int
) -> list[float]:
    following: list[tuple[int, Ends]] = []
    for number, (path, cookies) in enumerate(opened):
        for place, cookie in enumerate(cookies):
            port = ports[place % len(ports)]
            ends = await follow(port, f"{path}/live?device=d{place}", cookie)
            following.append((number, ends))
    posters = [
        await asyncio.open_connection(HOST, ports[number % len(ports)])
        for number in range(len(opened))
    ]
    found: list[float] = []
    for number in range(marks + 1):
        ids = [f"mark-{number}-{time.monotonic_ns()}-{run}" for run in range(len(opened))]
        began = time.perf_counter()
        reading = [asyncio.create_task(heard(ends[0], ids[run])) for run, ends in following]
        for run, (path, _) in enumerate(opened):
            posters[run][1].write(post(f"{path}/events", body(ids[run], number)).encode())
        took_ms = [(at - began) * 1000 for at in await asyncio.gather(*reading)]
        found += took_ms if number else []
        for reader, _ in posters:
            await answered(reader)
        await asyncio.sleep(BETWEEN_S)
    for _, writer in (*(ends for _, ends in following), *posters):
        writer.close()
    return found
