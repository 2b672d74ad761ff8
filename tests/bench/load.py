"""Load from a second process, over loopback only: a fixed number of requests, then it ends.

`load` starts the process and returns what it measured. A request is the text of an HTTP/1.1
request; each connection sends its own list, one after the other.
"""

import asyncio
import gc
import json
import subprocess
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from urllib.parse import urlencode

from server.settings import ROOT
from tests.bench.figures import percentile

HOST = "127.0.0.1"
ROUNDS = 3
SETTLES_S = 8.0


@dataclass(frozen=True)
class Load:
    """What came back: seconds in all, ms for each answer, and how often which status."""

    seconds: float
    took_ms: list[float]
    statuses: dict[str, int]
    bytes_each: int

    @property
    def rate(self) -> float:
        """Answers a second."""
        return len(self.took_ms) / self.seconds

    def at(self, percent: float) -> float:
        """The ms within which that share of the answers came."""
        return percentile(self.took_ms, percent)


def settle(quick: bool) -> None:
    """Wait until a server that has just started has made its first pages, which no peer does."""
    time.sleep(0.0 if quick else SETTLES_S)


@contextmanager
def collecting_nothing() -> Iterator[None]:
    """While times are taken in this process: its own pauses, of 80 ms, would be taken for ours."""
    gc.collect()
    gc.disable()
    try:
        yield
    finally:
        gc.enable()


def get(path: str) -> str:
    """The request for a page."""
    return f"GET {path} HTTP/1.1\r\nHost: {HOST}\r\n\r\n"


def post(path: str, body: str, media_type: str = "application/json") -> str:
    """The request that sends JSON, or a form, as a page of the app would."""
    return (
        f"POST {path} HTTP/1.1\r\nHost: {HOST}\r\nOrigin: http://{HOST}\r\n"
        f"Content-Type: {media_type}\r\nContent-Length: {len(body.encode())}\r\n\r\n{body}"
    )


def post_form(path: str, **fields: str) -> str:
    """The request that posts a form."""
    return post(path, urlencode(fields), "application/x-www-form-urlencoded")


def load(port: int, connections: Sequence[Sequence[str]]) -> Load:
    """Send the requests of each connection, all connections at once."""
    return _loaded({"port": port, "connections": connections})


def load_after_changes(
    port: int, changes: Sequence[str], connections: Sequence[Sequence[str]]
) -> Load:
    """The same in rounds: one of `changes`, untimed, then the next request of each connection.

    So all of them ask at once for what was just changed.
    """
    return _loaded({"port": port, "changes": changes, "connections": connections})


def _loaded(job: dict[str, object]) -> Load:
    command = [sys.executable, "-P", "-m", "tests.bench.load"]
    done = subprocess.run(
        command, input=json.dumps(job), capture_output=True, text=True, check=True, cwd=ROOT,
        env={"PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    found = Load(**json.loads(done.stdout))
    assert set(found.statuses) == {"200"}, f"not all answers were good: {found.statuses}"
    return found


def in_turns(ours: Callable[[], Load], theirs: Callable[[], Load]) -> tuple[Load, Load]:
    """The middle of some rounds of each, in turns, so that both see the same machine."""
    first, second = zip(*((ours(), theirs()) for _ in range(ROUNDS)), strict=True)
    return _middle(first), _middle(second)


def _middle(rounds: Sequence[Load]) -> Load:
    return sorted(rounds, key=lambda each: each.rate)[len(rounds) // 2]


async def _send_all(
    port: int, connections: list[list[str]], changes: Sequence[str] = ()
) -> dict[str, object]:
    opened = [await asyncio.open_connection(HOST, port) for _ in connections]
    seconds, flat = 0.0, []
    for change, requests in _rounds(connections, changes):
        if change:
            ((_, status, _),) = await _send(*opened[0], [change])
            assert status in ("200", "303"), f"the change was answered with {status}"
        began = time.perf_counter()
        answers = await asyncio.gather(
            *(_send(*pair, each) for pair, each in zip(opened, requests, strict=True))
        )
        seconds += time.perf_counter() - began
        flat += [answer for each in answers for answer in each]
    for _, writer in opened:
        writer.close()
    return {
        "seconds": seconds,
        "took_ms": [took_ms for took_ms, _, _ in flat],
        "statuses": Counter(status for _, status, _ in flat),
        "bytes_each": max(size for _, _, size in flat),
    }


def _rounds(
    connections: list[list[str]], changes: Sequence[str]
) -> Iterable[tuple[str, list[list[str]]]]:
    if not changes:
        return [("", connections)]
    return [
        (change, [[each] for each in requests])
        for change, *requests in zip(changes, *connections, strict=True)
    ]


async def _send(
    reader: asyncio.StreamReader, writer: asyncio.StreamWriter, requests: list[str]
) -> list[tuple[float, str, int]]:
    answers = []
    for request in requests:
        began = time.perf_counter()
        writer.write(request.encode())
        head = (await reader.readuntil(b"\r\n\r\n")).decode("latin-1").lower()
        size = int(head.split("content-length:", 1)[1].split("\r\n", 1)[0])
        await reader.readexactly(size)
        answers.append(((time.perf_counter() - began) * 1000, head.split(" ")[1], size))
    return answers


def main() -> None:
    job = json.load(sys.stdin)
    print(json.dumps(asyncio.run(_send_all(**job))))


if __name__ == "__main__":
    main()
