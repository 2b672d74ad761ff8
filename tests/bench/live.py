"""From the presenter's mark to fifty followers, over loopback and the app as it runs.

The time runs from before the mark is posted until a follower has read it: parsing, the check, the
write to disk, the fold and the way to each of them are in it. The peer passes on what is posted
from memory, unread and unstored. Both are measured in turns, by the same followers, which are one
more process on the same machine.
"""

import asyncio
import json
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

import httpx

from server.domain.runs.joining import MOST_WATCHING
from tests.bench.figures import Figure, percentile
from tests.bench.load import HOST, post
from tests.bench.peers import peer
from tests.bench.rehearsed import ROUTINE_ID, rehearse
from tests.browser.desk import Desk
from tests.real_server import RealServer

SEGMENTS = 40
BETWEEN_S = 0.03
TURNS = 4


def measure(quick: bool) -> Iterator[Figure]:
    marks = 5 if quick else 50
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        rehearse(folder / "data", 0, SEGMENTS)
        server = RealServer(folder / "data", demo=False)
        server.start()
        try:
            with peer("echo", folder) as (peer_port, _):
                ours, theirs = [], []
                for _ in range(TURNS):
                    ours += _to_followers(server, marks)
                    theirs += asyncio.run(
                        _latencies(peer_port, "/live", [""] * MOST_WATCHING, "/echo", marks)
                    )
        finally:
            server.stop()
    for percent in (50, 99):
        aim = "under 50 ms" if percent == 99 else ""
        value, other = percentile(ours, percent), percentile(theirs, percent)
        yield Figure(f"mark to {MOST_WATCHING} followers, p{percent}", value, "ms", other, aim)


def _to_followers(server: RealServer, marks: int) -> list[float]:
    """Ms from posting to reading, for each mark and follower, in a run of its own."""
    with Desk(server.url) as desk:
        run_id = desk.send_form(f"/routines/{ROUTINE_ID}/rehearse").split("/")[2]
        page = desk.post(f"/runs/{run_id}/watchers").text
        code = page.split('id="code">', 1)[1].split("<", 1)[0]
    cookies = [joined(server, code) for _ in range(MOST_WATCHING)]
    path = f"/api/runs/{run_id}"
    return asyncio.run(_latencies(server.port, f"{path}/live", cookies, f"{path}/events", marks))


def joined(server: RealServer, code: str) -> str:
    """The cookies of one more who joined: a pass is for one, not for all."""
    answer = httpx.post(
        f"{server.url}/join",
        data={"code": code, "name": "Ada"},
        headers={"Origin": server.url},
        verify=False,
    )
    return "; ".join(f"{name}={value}" for name, value in answer.cookies.items())


async def _latencies(
    port: int, live: str, cookies: list[str], target: str, marks: int
) -> list[float]:
    followers = [
        await follow(port, f"{live}?device=d{n}", cookie) for n, cookie in enumerate(cookies)
    ]
    poster = await asyncio.open_connection(HOST, port)
    found: list[float] = []
    # The start comes first and is not counted: it finds fifty connections still being made.
    for number in range(marks + 1):
        mark_id = f"mark-{time.monotonic_ns()}"
        began = time.perf_counter()
        reading = [asyncio.create_task(heard(each[0], mark_id)) for each in followers]
        poster[1].write(post(target, body(mark_id, number)).encode())
        took_ms = [(at - began) * 1000 for at in await asyncio.gather(*reading)]
        found += took_ms if number else []
        await answered(poster[0])
        await asyncio.sleep(BETWEEN_S)
    for _, writer in (*followers, poster):
        writer.close()
    return found


def body(mark_id: str, number: int) -> str:
    kind = "start" if number == 0 else "incident"
    mark = {
        "id": mark_id,
        "device_id": "tablet",
        "boot_id": "boot",
        "seq": number,
        "kind": kind,
        "wall_ms": 0,
        "mono_ms": number * 1000,
    }
    return json.dumps({"events": [mark if number == 0 else mark | {"what": "other"}]})


async def follow(
    port: int, path: str, cookie: str
) -> tuple[asyncio.StreamReader, asyncio.StreamWriter]:
    reader, writer = await asyncio.open_connection(HOST, port)
    writer.write(f"GET {path} HTTP/1.1\r\nHost: {HOST}\r\nCookie: {cookie}\r\n\r\n".encode())
    head = await reader.readuntil(b"\r\n\r\n")
    assert b" 200 " in head.split(b"\r\n", 1)[0], head
    return reader, writer


async def heard(reader: asyncio.StreamReader, mark_id: str) -> float:
    while mark_id.encode() not in await reader.readline():
        pass
    return time.perf_counter()


async def answered(reader: asyncio.StreamReader) -> None:
    head = (await reader.readuntil(b"\r\n\r\n")).decode("latin-1").lower()
    assert " 200 " in head.split("\r\n", 1)[0], head
    await reader.readexactly(int(head.split("content-length:", 1)[1].split("\r\n", 1)[0]))
