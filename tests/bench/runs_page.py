"""The runs page with hundreds of runs, against a bare Jinja page of the same bytes.

Changed: a split of the latest run is taken out of the figures or back into them, then all
connections ask at once for the page, which shows that. The peer renders the same bytes from memory,
cell by cell, each time.
Unchanged: the page is kept; the peer answers the same bytes without a question.
"""

import json
import re
import tempfile
from collections.abc import Iterator
from itertools import cycle
from pathlib import Path

import httpx

from tests.bench.figures import Figure
from tests.bench.load import get, in_turns, load, load_after_changes, post, post_form
from tests.bench.peers import PAGE, peer
from tests.bench.rehearsed import ROUTINE_ID, rehearse
from tests.real_server import RealServer

RUNS, SEGMENTS = 300, 40
RUNS_PAGE = f"/routines/{ROUTINE_ID}/runs"
SHOWS = {"its latest 50": "figures", "all": "all-figures"}
CONNECTIONS = (1, 16)
ROW = re.compile(
    r"<tr(?P<muted>[^>]*)><th scope=\"row\"><a href=\"(?P<href>[^\"]+)\">"
    r"<bdi>(?P<name>[^<]*)</bdi></a>"
    r"(?: <small[^>]*>(?P<remark>.*?)</small>)?</th><td>(?P<choice>.*?)</td>(?P<rest>.*?)</tr>",
    re.S,
)
CELL = re.compile(
    r"<td(?P<over>[^>]*)>(?P<split>[^<]*|<b>[^<]*</b>)(?: <small>(?P<longer>[^<]*)</small>)?</td>"
)


def measure(quick: bool) -> Iterator[Figure]:
    rounds = 6 if quick else 40
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        rehearse(folder / "data", RUNS, SEGMENTS)
        server = RealServer(folder / "data", demo=False)
        server.start()
        try:
            for words, show in SHOWS.items():
                path = f"{RUNS_PAGE}?show={show}"
                html = httpx.get(server.url + path, timeout=60).text
                (folder / "peer.json").write_text(json.dumps(same_bytes(html)), encoding="utf-8")
                name = f"{RUNS} runs × {SEGMENTS} segments, {words} listed"
                yield Figure(f"{name}: size of the page", len(html.encode()) / 1024, "KB")
                with peer("pages", folder / "peer.json") as (peer_port, _):
                    yield from _compare(server.port, peer_port, path, rounds)
        finally:
            server.stop()


def _compare(ours: int, theirs: int, path: str, rounds: int) -> Iterator[Figure]:
    shown = httpx.get(f"http://127.0.0.1:{ours}{path}").text
    run_id = re.search(r'name="leave_out" value="([^"]+)"', shown)[1]
    outs_and_ins = [
        post_form(f"/runs/{run_id}/splits/counting", segment="segment-7", leave_out=out)
        for out, _ in zip(cycle(("1", "")), range(rounds), strict=False)
    ]
    nothing = [post("/nothing", "{}")] * rounds
    for number in CONNECTIONS:
        at = f"at {number} connection{'s' if number > 1 else ''}"
        changed, rendered = in_turns(
            lambda n=number: load_after_changes(ours, outs_and_ins, [[get(path)] * rounds] * n),
            lambda n=number: load_after_changes(theirs, nothing, [[get("/page")] * rounds] * n),
        )
        aim = "at least 0.5; stretch 1.5"
        yield Figure(f"changed page {at}", changed.rate, "/s", rendered.rate, aim)
        yield Figure(f"changed page {at}, p99", changed.at(99), "ms", rendered.at(99))
        kept, ready = in_turns(
            lambda n=number: load(ours, [[get(path)] * (320 // n)] * n),
            lambda n=number: load(theirs, [[get("/ready")] * (320 // n)] * n),
        )
        yield Figure(f"unchanged page {at}", kept.rate, "/s", ready.rate, "at least 0.75")
        yield Figure(f"unchanged page {at}, p99", kept.at(99), "ms", ready.at(99))


def same_bytes(html: str) -> dict[str, object]:
    """What the peer renders: our rows cell by cell as text, everything else as it stands."""
    head, body = html.split('<table class="splits">', 1)
    table, tail = body.split("</tbody>", 1)
    thead, rows = table.split("<tbody>", 1)
    found = [
        row.groupdict() | {"cells": [cell.groupdict() for cell in CELL.finditer(row["rest"])]}
        for row in ROW.finditer(rows)
    ]
    # A peer that draws less than we do would be a mirror that flatters it.
    assert sum(len(row["cells"]) + 1 for row in found) == rows.count("<td"), "cells are missing"
    content = {"head": head + '<table class="splits">' + thead + "<tbody>", "rows": found}
    content |= {"tail": "</tbody>" + tail}
    missing = len(html.encode()) - len(_rendered(content).encode())
    assert abs(missing) < len(html) // 50, f"the peer's page differs by {missing} bytes"
    return content | {"tail": content["tail"] + " " * missing}


def _rendered(content: dict[str, object]) -> str:
    from jinja2 import Environment

    return Environment(autoescape=True).from_string(PAGE).render(content)
