"""Event logs for tests of the fold: from plain values to events, and random ones by the seed."""

import json
import random
from dataclasses import asdict
from pathlib import Path

from pydantic import TypeAdapter

from server.domain.runs.events import WATCHED, Event
from server.domain.runs.run import Outline, ProcessLink, RunState

CASES = json.loads((Path(__file__).parents[1] / "run_cases.json").read_text())["cases"]

SEGMENTS = ("grind", "brew", "build", "serve")
PROCESSES = (ProcessLink("chill", "grind", "serve"), ProcessLink("oven", None, "brew"))
OUTLINE = Outline(SEGMENTS, PROCESSES)
WALL_MS = 1_764_060_000_000

_EVENTS = TypeAdapter(tuple[Event, ...])


def events_from(documents: list[dict]) -> tuple[Event, ...]:
    """Events read the way the server reads a batch."""
    return _EVENTS.validate_json(json.dumps(documents))


def outline_from(document: dict) -> Outline:
    links = tuple(ProcessLink(**link) for link in document["processes"])
    return Outline(tuple(document["segment_ids"]), links)


def state_document(state: RunState) -> dict:
    """A folded state as the JSON that `run_cases.json` and the JavaScript fold speak."""
    document = json.loads(json.dumps(asdict(state)))
    for process, shown in zip(state.processes, document["processes"], strict=True):
        shown["missed"] = process.missed
    return document


def random_log(seed: int) -> list[dict]:
    """A log as a careless device might write it: wrong targets, odd clocks, shuffled, doubled."""
    rng = random.Random(seed)
    count = rng.randint(0, 24)
    log = [_random_event(rng, seq, count) for seq in range(count)]
    if log and rng.random() < 0.9:
        first = log[rng.randrange(min(3, count))]
        first["kind"] = "start"
        first.pop("at_ms", None)
    log += rng.choices(log, k=rng.randint(0, 5)) if log else []
    rng.shuffle(log)
    return log


def _random_event(rng: random.Random, seq: int, count: int) -> dict:
    kind = rng.choices(
        ["done", "ready", "incident", "note", "retract", "finish", "abandon", "resume",
         "clock_step", "start", "claim", "call", "score", "hold", "about"],
        [20, 6, 6, 6, 10, 2, 2, 4, 6, 1, 6, 2, 4, 3, 3],
    )[0]  # fmt: skip
    boot = rng.choice(["boot-1", "boot-1", "boot-1", "boot-2", "boot-3"])
    event = {
        "id": f"e{seq}",
        "device_id": "laptop" if boot == "boot-3" else "tablet",
        "boot_id": boot,
        "seq": rng.choice([seq, seq, seq, rng.randint(0, count)]),
        "kind": kind,
        "wall_ms": WALL_MS + seq * 20_000 + rng.randint(-40_000, 40_000),
        "mono_ms": max(0.0, seq * 20_000.0 + rng.choice([0.0, 0.5, rng.uniform(-9000, 9000)])),
    }
    more = {
        "segment_id": rng.choice([*SEGMENTS, "unknown"]),
        "process_id": rng.choice(["chill", "oven", "unknown"]),
        "target_id": f"e{rng.randint(0, count)}",
        "what": rng.choice(["spill", "equipment", "forgot_words", "other"]),
        "text": rng.choice(["", "Too fast", "Löffel vergessen"]),
        "step_ms": rng.choice([0.0, 15_000.0, -3_600_000.0, rng.uniform(-1e6, 1e6)]),
        "cause": rng.choice(["sleep", "set"]),
        "claim": rng.choice(["d:descriptor:pear", "d:descriptor:oak"]),
        "verdict": rng.choice(["heard", "missed", "wrong"]),
        "criterion": rng.choice(["taste", "pace"]),
        "points": rng.choice([0.0, 6.5, 10.0]),
        "counts": rng.choice([True, False]),
        "label": rng.choice(["", "Dress run"]),
        "venue": rng.choice(["", "Back bar"]),
        "at_ms": max(0.0, seq * 20_000 + rng.uniform(-30_000, 30_000)),
    }
    if kind in WATCHED and rng.random() < 0.4:
        event |= {"at_ms": rng.choice([0.5, 30_000.0, rng.uniform(0, 400_000)]), "who": "Ada"}
    if rng.random() >= 0.2:
        return event | {key: more[key] for key in _used(kind)}
    if kind not in WATCHED | {"hold", "resume"}:
        del more["at_ms"]
    return event | more


def _used(kind: str) -> tuple[str, ...]:
    return {
        "done": ("segment_id",),
        "ready": ("process_id",),
        "incident": ("what", "segment_id"),
        "note": ("text", "target_id"),
        "retract": ("target_id",),
        "clock_step": ("step_ms", "cause"),
        "claim": ("claim", "verdict", "segment_id"),
        "call": ("text",),
        "score": ("criterion", "points"),
        "hold": ("at_ms",),
        "about": ("counts", "label", "venue", "text"),
    }.get(kind, ())
