"""The runs page with hundreds of runs, against a bare Jinja page of the same bytes.

Changed: every request asks for a page that is not kept yet, so it is read from the database,
compared and rendered. The peer renders a page of the same bytes from memory, cell by cell.
Unchanged: the page is kept; the peer answers the same bytes without a question.
"""

import json
import re
import tempfile
from collections.abc import Iterator
from itertools import count
from pathlib import Path

import httpx

from tests.bench.figures import Figure
from tests.bench.load import get, in_turns, load
from tests.bench.peers import PAGE, peer
from tests.bench.rehearsed import ROUTINE_ID, rehearse
from tests.real_server import RealServer

RUNS, SEGMENTS = 300, 40
PATH = f"/routines/{ROUTINE_ID}/runs?show=figures"
CONNECTIONS = (1, 16)
ROW = re.compile(r"<tr[^>]*><th scope=\"row\"><a href=\"([^\"]+)\">([^<]*)</a>(.*?)</tr>", re.S)
CELL = re.compile(r"<td[^>]*>(?:<b>)?([^<]*)(?:</b>)?(?:<small>([^<]*)</small>)?</td>")


def measure(quick: bool) -> Iterator[Figure]:
    requests = 64 if quick else 320
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        rehearse(folder / "data", RUNS, SEGMENTS)
        server = RealServer(folder / "data", demo=False)
        server.start()
        try:
            html = httpx.get(server.url + PATH).text
            (folder / "peer.json").write_text(json.dumps(same_bytes(html)), encoding="utf-8")
            with peer("pages", folder / "peer.json") as (peer_port, _):
                yield from _compare(server.port, peer_port, requests, len(html.encode()))
        finally:
            server.stop()


def _compare(ours: int, theirs: int, requests: int, size: int) -> Iterator[Figure]:
    yield Figure(f"{RUNS} runs × {SEGMENTS} segments: size of the page", size / 1024, "KB")
    fresh = (f"{PATH}&edit=v{number}" for number in count())
    for connections in CONNECTIONS:
        at = f"at {connections} connection{'s' if connections > 1 else ''}"
        changed, rendered = in_turns(
            lambda n=connections: load(ours, _spread((next(fresh) for _ in range(requests)), n)),
            lambda n=connections: load(theirs, _spread(["/page"] * requests, n)),
        )
        aim = "at least 0.5; stretch 1.5"
        yield Figure(f"changed page {at}", changed.rate, "/s", rendered.rate, aim)
        yield Figure(f"changed page {at}, p99", changed.at(99), "ms", rendered.at(99))
        kept, ready = in_turns(
            lambda n=connections: load(ours, _spread([PATH] * 4 * requests, n)),
            lambda n=connections: load(theirs, _spread(["/ready"] * 4 * requests, n)),
        )
        yield Figure(f"unchanged page {at}", kept.rate, "/s", ready.rate, "at least 0.75")
        yield Figure(f"unchanged page {at}, p99", kept.at(99), "ms", ready.at(99))


def same_bytes(html: str) -> dict[str, object]:
    """What the peer renders: our rows cell by cell as text, everything else as it stands."""
    head, body = html.split('<table class="splits">', 1)
    table, tail = body.split("</tbody>", 1)
    thead, rows = table.split("<tbody>", 1)
    found = [
        {
            "href": href,
            "name": name,
            "remark": (re.search(r"<small>(.*?)</small></th>", rest) or [""])[-1],
            "cells": [{"split": a, "longer": b} for a, b in CELL.findall(rest)],
        }
        for href, name, rest in ROW.findall(rows)
    ]
    content = {"head": head + thead, "rows": found, "tail": tail}
    missing = len(html.encode()) - len(_rendered(content).encode())
    return content | {"tail": tail + " " * missing}


def _rendered(content: dict[str, object]) -> str:
    from jinja2 import Environment

    return Environment(autoescape=True).from_string(PAGE).render(content)


def _spread(paths, connections: int) -> list[list[str]]:
    requests = [get(path) for path in paths]
    return [requests[n::connections] for n in range(connections)]
