"""Who uses several workers at once: presenters that mark, others that follow, one that uploads.

Each does as its page in the browser does: it sends again what was not acknowledged, resumes after
the last event that it has, and asks how much of a file is there. `Shown` gathers what each saw.
"""

import asyncio
import json
import random
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

import httpx

from server.domain.runs.events import event_document
from tests.browser.desk import silence
from tests.factories import make_event

PART_BYTES = 4_000
BATCH = 4
SENT_TWICE = 0.2
AGAIN_AFTER_S = 0.05
PATIENCE_S = 10.0


@dataclass
class Shown:
    """The marks of a run as they were made, and what each follower was shown of it: rev and id."""

    run_id: str
    made: list[dict[str, Any]] = field(default_factory=list)
    followers: list[list[tuple[int, str]]] = field(default_factory=list)


def marks_of(run_id: str, number: int) -> list[dict[str, Any]]:
    """A start and incidents: whatever comes twice or late shows in the log."""
    start = make_event(f"{run_id}-0", "start")
    more = [
        make_event(f"{run_id}-{each}", "incident", seq=each, at_s=each, what="other")
        for each in range(1, number)
    ]
    return [event_document(each) for each in (start, *more)]


async def present(
    client: httpx.AsyncClient, shown: Shown, rng: random.Random, marked: Callable[[], None]
) -> None:
    """Send the marks of a run in their order until all are acknowledged; now and then twice."""
    path = f"/api/runs/{shown.run_id}/events"
    waiting = list(shown.made)
    while waiting:
        batch = waiting[: rng.randint(1, BATCH)]
        times = 2 if rng.random() < SENT_TWICE else 1
        sendings = (client.post(path, json={"events": batch}) for _ in range(times))
        answers = await asyncio.gather(*sendings, return_exceptions=True)
        good = [each for each in answers if isinstance(each, httpx.Response) and each.is_success]
        if not good:
            await asyncio.sleep(AGAIN_AFTER_S)
            continue
        accepted = set(good[0].json()["accepted"])
        waiting = [each for each in waiting if each["id"] not in accepted]
        for _ in accepted:
            marked()


async def follow(client: httpx.AsyncClient, shown: Shown, cookies: str, device: str) -> None:
    """Follow a run until all of its marks were shown, and keep what was."""
    seen: list[tuple[int, str]] = []
    shown.followers.append(seen)
    ids = {each["id"] for each in shown.made}
    path = f"/api/runs/{shown.run_id}/live"
    while {each for _, each in seen} < ids:
        asked = {"after": str(seen[-1][0] if seen else 0), "device": device}
        try:
            async with client.stream(
                "GET", path, params=asked, headers={"Cookie": cookies}
            ) as stream:
                if stream.status_code == 200:
                    await _read(stream, seen, len(ids))
        except httpx.HTTPError:
            pass
        await asyncio.sleep(AGAIN_AFTER_S)


async def _read(stream: httpx.Response, seen: list[tuple[int, str]], enough: int) -> None:
    fields: dict[str, str] = {}
    async for line in stream.aiter_lines():
        if line:
            name, _, value = line.partition(": ")
            fields[name] = value
            continue
        if fields.get("event") == "mark":
            seen.append((int(fields["id"]), json.loads(fields["data"])["event"]["id"]))
            if len(seen) >= enough:
                return
        fields = {}


async def upload(client: httpx.AsyncClient, run_id: str, recording_id: str) -> bytes:
    """Send a recording part by part until it is whole; returns what was sent."""
    content = silence(5)
    told = {
        "id": recording_id, "kind": "sound", "started_ms": 0, "lasts_ms": 5000,
        "size_bytes": len(content),
    }  # fmt: skip
    while True:
        try:
            answer = await client.post(f"/api/runs/{run_id}/recordings", json=told)
            state = answer.json() if answer.is_success else {}
            while state and not state["done"]:
                number = state["parts"]
                part = content[number * PART_BYTES : (number + 1) * PART_BYTES]
                answer = await client.put(
                    f"/api/recordings/{recording_id}/parts/{number}", content=part
                )
                state = answer.json() if answer.is_success else {}
            if state:
                return content
        except httpx.HTTPError:
            pass
        await asyncio.sleep(AGAIN_AFTER_S)
