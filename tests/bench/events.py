"""One mark, durable and answered, against a route that reads as much and does nothing.

Every poster is a tablet with a run of its own that sends a mark, waits until it is acknowledged,
and sends the next. The app has made its first pages by then.
"""

import json
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import count
from pathlib import Path

from server.domain.runs.events import event_document
from server.domain.runs.paper import PaperRun, paper_events
from tests.bench.figures import Figure
from tests.bench.load import in_turns, load, post, settle
from tests.bench.peers import peer
from tests.bench.rehearsed import FIRST_DAY_MS, ROUTINE_ID, SEGMENT_S, rehearse, routine_of
from tests.browser.desk import Desk
from tests.postgres_server import DURABLE, PostgresServer
from tests.real_server import RealServer

SEGMENTS = 40
POSTERS = (1, 50)


def measure(quick: bool) -> Iterator[Figure]:
    runs_each = {1: 2 if quick else 8, 50: 1}
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "peer.json").write_text('{"head": "", "rows": [], "tail": ""}', encoding="utf-8")
        for engine, running in (("", on_sqlite), (", PostgreSQL", on_postgresql)):
            with running(folder / f"data{engine}") as server:
                settle(quick)
                yield from _beside_nothing(server, folder, runs_each, engine)


@contextmanager
def on_sqlite(folder: Path) -> Iterator[RealServer]:
    """The app over a data folder with the routine that is marked."""
    rehearse(folder, 0, SEGMENTS)
    with RealServer(folder, demo=False) as server:
        yield server


@contextmanager
def on_postgresql(folder: Path) -> Iterator[RealServer]:
    """The same over a PostgreSQL that waits for its disk, as it is installed."""
    postgres = PostgresServer(DURABLE)
    try:
        postgres.do('CREATE DATABASE "bench"')
        address = postgres.address("bench")
        rehearse(folder, 0, SEGMENTS, address)
        with RealServer(folder, demo=False, database=address) as server:
            yield server
    finally:
        postgres.stop()


def _beside_nothing(
    server: RealServer, folder: Path, runs_each: dict[int, int], engine: str
) -> Iterator[Figure]:
    with peer("pages", folder / "peer.json") as (peer_port, _), Desk(server.url) as desk:
        for posters in POSTERS:
            yield from _compare(desk, server.port, peer_port, posters, runs_each[posters], engine)


def _compare(
    desk: Desk, ours: int, theirs: int, posters: int, runs_each: int, engine: str
) -> Iterator[Figure]:
    at = f"{posters} poster{'s' if posters > 1 else ''}{engine}"
    stored, nothing = in_turns(
        lambda: load(ours, [marks_for(desk, runs_each) for _ in range(posters)]),
        lambda: load(theirs, [marks_for(desk, runs_each, "/nothing") for _ in range(posters)]),
    )
    yield Figure(f"mark durable, {at}", stored.rate, "/s", nothing.rate, "at least 0.5 at 50")
    for percent in (50, 99):
        yield Figure(
            f"mark durable, {at}, p{percent}", stored.at(percent), "ms", nothing.at(percent)
        )


def marks_for(desk: Desk, runs: int, path: str = "") -> list[str]:
    """The requests that send whole runs, a mark at a time."""
    requests = []
    for _ in range(runs):
        run_id = "none" if path else _new_run(desk)
        numbers = count()
        events = paper_events(
            routine_of(SEGMENTS), _run(), FIRST_DAY_MS, lambda r=run_id, n=numbers: f"{r}-{next(n)}"
        )
        bodies = (json.dumps({"events": [event_document(event)]}) for event in events)
        requests += [post(path or f"/api/runs/{run_id}/events", body) for body in bodies]
    return requests


def _new_run(desk: Desk) -> str:
    return desk.send_form(f"/routines/{ROUTINE_ID}/rehearse").split("/")[2]


def _run() -> PaperRun:
    ends = {f"segment-{n}": n * SEGMENT_S for n in range(1, SEGMENTS + 1)}
    return PaperRun(SEGMENTS * SEGMENT_S, ends)
